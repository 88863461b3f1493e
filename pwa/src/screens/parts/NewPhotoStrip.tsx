import { useState } from "preact/hooks";
import { IconButton } from "../../components/Button";
import { Icon } from "../../components/Icon";
import { Photo } from "../../components/Photo";
import { useBlobUrl } from "../../components/useBlobUrl";
import type { PreparedPhoto } from "../../photo/prepare";
import { t } from "../../text";
import { DrawOnNew } from "./DrawOn";
import { type Drawn, withMarks } from "./usePhotos";

type Photos = { photos: PreparedPhoto[] };
/** The change is worked out from the photos as they are then: another may have come meanwhile. */
export type ChangePhotos = (change: (now: Photos) => Photos) => Promise<void>;

type OneProps = {
  photo: PreparedPhoto;
  number: number;
  onDrawn: (drawn: Drawn) => void;
  onRemove: () => void;
};

function One({ photo, number, onDrawn, onRemove }: OneProps) {
  const url = useBlobUrl(photo.thumb);
  const [isOpen, setOpen] = useState(false);
  return (
    <div class="new-photo">
      <div class="new-photo-picture">
        <Photo
          url={url}
          alt={t("photo.draw_on", { number })}
          named="alt"
          marked={photo}
          onOpen={() => setOpen(true)}
        />
        <span class="new-photo-draw">
          <Icon name="pencil" size={18} />
        </span>
      </div>
      <IconButton icon="close" label={t("photo.remove", { number })} onPress={onRemove} />
      {isOpen && <DrawOnNew photo={photo} onDrawn={onDrawn} onClose={() => setOpen(false)} />}
    </div>
  );
}

/** Photos taken and not yet saved: pressed, one can be drawn on; the cross takes it out again. */
export function NewPhotoStrip({ photos, onChange }: Photos & { onChange: ChangePhotos }) {
  if (photos.length === 0) return null;
  const without = ({ sha256 }: PreparedPhoto) =>
    onChange((now) => ({ photos: now.photos.filter((one) => one.sha256 !== sha256) }));
  return (
    <div class="photo-strip">
      {photos.map((photo, index) => (
        <One
          key={photo.sha256}
          photo={photo}
          number={index + 1}
          onDrawn={(drawn) => onChange((now) => ({ photos: withMarks(now.photos, drawn) }))}
          onRemove={() => without(photo)}
        />
      ))}
    </div>
  );
}
