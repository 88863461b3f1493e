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

/** On a photo that is not saved yet: every way out keeps what was drawn, and it can be taken back. */
export function DrawOnNew({ photo, onDrawn, onClose }: NewProps) {
  const { width_px, height_px, marks = [] } = photo;
  const keep = (drawn: Mark[]) => {
    onDrawn({ photo, marks: drawn });
    onClose();
  };
  return (
    <Lazy
      url={useBlobUrl(photo.full)}
      photo={{ width_px, height_px }}
      drawn={marks}
      done={t("marks.keep")}
      onDone={keep}
      onBack={keep}
    />
  );
}

type StoredProps = { photo: PhotoRow; onResult: (result: Result) => void; onClose: () => void };

/** On a saved photo: marks are added to those that are there. Turning back keeps them as a draft. */
export function DrawOnStored({ photo, onResult, onClose }: StoredProps) {
  const draftKey = `marks:${photo.id}`;
  const draft = useDraft<{ marks: Mark[] }>(draftKey, { empty: { marks: [] } });
  const url = usePhotoUrl(photo.id, "large").value;
  if (!draft.ready) return null;
  const save = async (marks: Mark[]) => {
    draft.change({ marks });
    if (marks.length > 0) {
      onResult(await markPhoto({ jobId: photo.job_id, photoId: photo.id, marks, draftKey }));
    }
    onClose();
  };
  const keep = (marks: Mark[]) => {
    draft.change({ marks });
    onClose();
  };
  return (
    <Lazy
      url={url}
      photo={photo}
      drawn={draft.value.marks}
      done={t("marks.save")}
      onDone={(marks) => void save(marks)}
      onBack={keep}
    />
  );
}
