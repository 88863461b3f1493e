import { markPhoto } from "../../actions/markPhoto";
import type { MarkingProps } from "../../components/Marking";
import { useBlobUrl } from "../../components/useBlobUrl";
import type { Result } from "../../local/result";
import type { Mark, PhotoRow } from "../../local/rows";
import type { PreparedPhoto } from "../../photo/prepare";
import { usePhotoUrl } from "../../queries/photos";
import { t } from "../../text";
import { useChunk } from "./useChunk";
import { useDraft } from "./useDraft";
import type { Drawn } from "./usePhotos";

function Lazy(props: MarkingProps) {
  const Marking = useChunk(() => import("../../components/Marking"), { isWanted: true });
  return Marking ? <Marking {...props} /> : null;
}

type NewProps = {
  photo: PreparedPhoto;
  onDrawn: (drawn: Drawn) => void;
  onClose: () => void;
};

/** On a photo that is not saved yet: each stroke is kept with it at once, whichever way out is taken. */
export function DrawOnNew({ photo, onDrawn, onClose }: NewProps) {
  const { width_px, height_px, marks = [] } = photo;
  return (
    <Lazy
      url={useBlobUrl(photo.full)}
      photo={{ width_px, height_px }}
      drawn={marks}
      done={t("marks.keep")}
      onDrawn={(drawn) => onDrawn({ photo, marks: drawn })}
      onDone={onClose}
      onClose={onClose}
    />
  );
}

type StoredProps = { photo: PhotoRow; onResult: (result: Result) => void; onClose: () => void };

/** On a saved photo: marks are added to those that are there. Until they are saved each stroke is a draft. */
export function DrawOnStored({ photo, onResult, onClose }: StoredProps) {
  const draftKey = `marks:${photo.id}`;
  const draft = useDraft<{ marks: Mark[] }>(draftKey, { empty: { marks: [] } });
  const url = usePhotoUrl(photo.id, "large").value;
  if (!draft.ready) return null;
  const { marks } = draft.value;
  const save = async () => {
    if (marks.length > 0) {
      onResult(await markPhoto({ jobId: photo.job_id, photoId: photo.id, marks, draftKey }));
    }
    onClose();
  };
  return (
    <Lazy
      url={url}
      photo={photo}
      drawn={marks}
      done={t("marks.save")}
      onDrawn={(drawn) => draft.change({ marks: drawn })}
      onDone={() => void save()}
      onClose={onClose}
    />
  );
}
