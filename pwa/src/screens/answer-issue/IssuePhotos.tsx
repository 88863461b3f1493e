import { useState } from "preact/hooks";
import { Photo, PhotoView } from "../../components/Photo";
import type { PhotoRow } from "../../local/rows";
import { usePhotoUrl } from "../../queries/photos";
import { t } from "../../text";

type Props = { photos: PhotoRow[]; words: string };

/** The first photo fills the width, the others follow as thumbnails; each opens whole. */
export function IssuePhotos({ photos, words }: Props) {
  const [opened, setOpened] = useState<number | null>(null);
  const [first, ...rest] = photos;
  if (!first) return null;
  const name = (index: number) => t("photo.of_issue", { number: index + 1, title: words });
  const shown = opened === null ? undefined : photos[opened];
  return (
    <section class="answer-photos" aria-label={t("answer_issue.photos")}>
      <OnePhoto photo={first} size="large" alt={name(0)} onOpen={() => setOpened(0)} />
      {rest.length > 0 && (
        <div class="photo-strip">
          {rest.map((photo, index) => (
            <OnePhoto
              key={photo.id}
              photo={photo}
              size="thumb"
              alt={name(index + 1)}
              onOpen={() => setOpened(index + 1)}
            />
          ))}
        </div>
      )}
      {shown && opened !== null && (
        <Opened photo={shown} alt={name(opened)} onClose={() => setOpened(null)} />
      )}
    </section>
  );
}

type One = { photo: PhotoRow; size: "thumb" | "large"; alt: string; onOpen: () => void };

function OnePhoto({ photo, size, alt, onOpen }: One) {
  const thumb = usePhotoUrl(photo.id, "thumb").value;
  const large = usePhotoUrl(photo.id, size).value;
  return <Photo url={large ?? thumb} alt={alt} marked={photo} onOpen={onOpen} />;
}

function Opened({ photo, alt, onClose }: { photo: PhotoRow; alt: string; onClose: () => void }) {
  const url = usePhotoUrl(photo.id, "large").value;
  return <PhotoView url={url} alt={alt} marked={photo} onClose={onClose} />;
}
