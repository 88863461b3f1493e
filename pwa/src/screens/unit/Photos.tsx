import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { NewPhotoStrip } from "../parts/NewPhotoStrip";
import { PhotoButtons } from "../parts/NewPhotos";
import { StoredPhoto } from "../parts/StoredPhoto";
import { usePhotosOfUnit } from "./usePhotosOfUnit";

type Props = { view: JobView; unit: UnitRow; onSavedAgain: () => void };

export function Photos({ view, unit, onSavedAgain }: Props) {
  const photos = view.photosByUnit.get(unit.id) ?? [];
  const form = usePhotosOfUnit(view, { unit, photos, onSavedAgain });
  return (
    <section class="stack">
      <h2 class="section-title">{t("unit.photos")}</h2>
      {form.trouble && (
        <Notice kind="bad" urgency="now">
          {form.trouble}
        </Notice>
      )}
      {photos.length > 0 && (
        <div class="photo-strip">
          {photos.map((photo, index) => (
            <StoredPhoto
              key={photo.id}
              photo={photo}
              alt={t("photo.of_unit", { number: index + 1, tag: unit.tag })}
            />
          ))}
        </div>
      )}
      <Unsaved form={form} />
      <PhotoButtons
        path={`/job/${view.job.id}/unit/${unit.id}`}
        draftKey={form.draftKey}
        room={form.draft.room}
        onPhoto={form.add}
      />
    </section>
  );
}

/** For which the phone had no room: nowhere else, so they are shown until they are saved or taken out. */
function Unsaved({ form }: { form: ReturnType<typeof usePhotosOfUnit> }) {
  if (form.unsaved.length === 0) return null;
  return (
    <>
      <p>{t("unit.photos_unsaved", { count: form.unsaved.length })}</p>
      <NewPhotoStrip photos={form.unsaved} onChange={form.draft.change} />
      <Button
        kind="primary"
        notYet={form.busy ? t("unit.photos_saving") : undefined}
        onPress={() => void form.saveAgain()}
      >
        {t("unit.save_again")}
      </Button>
    </>
  );
}
