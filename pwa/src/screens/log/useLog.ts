import { useState } from "preact/hooks";
import { addPhoto } from "../../actions/addPhoto";
import { raiseIssue } from "../../actions/raiseIssue";
import type { PreparedPhoto } from "../../photo/prepare";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { failureWords } from "../parts/failure";
import { currentVisit } from "../parts/unit-words";
import { useDraft } from "../parts/useDraft";
import { EMPTY_DRAFT, type IssueDraft, toRaise } from "./draft";
import { useCategories } from "./useCategories";

/**
 * The issue goes with its first photo in one write; more photos follow, one write
 * each. A photo that does not fit is told, but the issue is saved: saving again
 * would make a second one.
 */
async function addOthers(photos: PreparedPhoto[], of: { jobId: string; issueId: string }) {
  for (const photo of photos.slice(1)) {
    const added = await addPhoto({ ...of, photo });
    if (!added.ok) return failureWords(added);
  }
  return undefined;
}

/** One issue while it is being logged: what is chosen, what is missing, and saving it. */
export function useLog(view: JobView, { unitId }: { unitId: string | null }) {
  const jobId = view.job.id;
  const draftKey = `log:${jobId}:${unitId ?? "any"}`;
  const draft = useDraft<IssueDraft>(draftKey, { empty: { ...EMPTY_DRAFT, unitId } });
  const categories = useCategories();
  const [savedId, setSavedId] = useState<string>();
  const [trouble, setTrouble] = useState<string>();
  const [busy, setBusy] = useState(false);
  const unit = draft.value.unitId ? view.unitById.get(draft.value.unitId) : undefined;
  const category = categories.find((one) => one.code === draft.value.category);
  const press = async () => {
    if (!unit) return;
    setBusy(true);
    const visitId = currentVisit(view)?.id ?? null;
    const from = { jobId, unitId: unit.id, visitId, category, draftKey };
    const result = await raiseIssue(toRaise(draft.value, from));
    if (result.ok) {
      setTrouble(await addOthers(draft.value.photos, { jobId, issueId: result.id }));
      await draft.done();
      setSavedId(result.id);
    } else {
      setTrouble(failureWords(result));
    }
    setBusy(false);
  };
  const missing = draft.value.category === null ? t("log.pick_category") : undefined;
  return {
    draft,
    draftKey,
    categories,
    category,
    unit,
    savedId,
    trouble,
    missing: busy ? t("log.saving") : missing,
    save: press,
  };
}

export type LogForm = ReturnType<typeof useLog>;
