import { useState } from "preact/hooks";
import { addPhoto } from "../../actions/addPhoto";
import type { PhotoRow, UnitRow } from "../../local/rows";
import type { PreparedPhoto } from "../../photo/prepare";
import type { JobView } from "../../queries/job";
import { failureWords } from "../parts/failure";
import { useDraft } from "../parts/useDraft";
import { withPhoto } from "../parts/usePhotos";

type Of = { unit: UnitRow; photos: PhotoRow[]; onSavedAgain: () => void };

/** A photo of a unit is saved as soon as it is taken. One that was not stays in a draft, to be saved again. */
export function usePhotosOfUnit(view: JobView, { unit, photos, onSavedAgain }: Of) {
  const draftKey = `unit:${unit.id}`;
  const draft = useDraft<{ photos: PreparedPhoto[] }>(draftKey, { empty: { photos: [] } });
  const [trouble, setTrouble] = useState<string>();
  const [busy, setBusy] = useState(false);
  const about = { jobId: view.job.id, unitId: unit.id };
  const saved = new Set(photos.map((photo) => photo.sha256));
  const isUnsaved = ({ sha256 }: PreparedPhoto) => !saved.has(sha256);
  const unsaved = draft.value.photos.filter(isUnsaved);
  const add = async (photo: PreparedPhoto) => {
    const result = await addPhoto({ ...about, photo });
    setTrouble(result.ok ? undefined : failureWords(result));
    if (!result.ok) {
      await draft.change((now) => ({ photos: withPhoto(now.photos.filter(isUnsaved), photo) }));
    }
  };
  const saveAgain = async () => {
    setBusy(true);
    const result = await addPhoto({ ...about, photos: unsaved, draftKey });
    setBusy(false);
    if (result.ok) onSavedAgain();
    else setTrouble(failureWords(result));
  };
  return {
    draftKey,
    draft,
    unsaved,
    add,
    saveAgain,
    busy,
    // Where not even the draft had room, the buttons say so: then it is not true that nothing can be lost.
    trouble: draft.room === "kept" ? trouble : undefined,
  };
}
