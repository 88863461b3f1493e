import { useState } from "preact/hooks";
import { raiseIssue } from "../../actions/raiseIssue";
import type { Failure } from "../../local/result";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { troubleBesidePhotos } from "../parts/failure";
import { currentVisit } from "../parts/unit-words";
import { useDraft } from "../parts/useDraft";
import { EMPTY_DRAFT, type IssueDraft, toRaise } from "./draft";
import { useCategories } from "./useCategories";

/** One issue while it is being logged: what is chosen, what is missing, and saving it. */
export function useLog(view: JobView, { unitId }: { unitId: string | null }) {
  const jobId = view.job.id;
  const draftKey = `log:${jobId}:${unitId ?? "any"}`;
  const draft = useDraft<IssueDraft>(draftKey, { empty: { ...EMPTY_DRAFT, unitId } });
  const categories = useCategories();
  const [savedId, setSavedId] = useState<string>();
  const [failure, setFailure] = useState<Failure>();
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
      setFailure(undefined);
      setSavedId(result.id);
    } else {
      setFailure(result);
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
    trouble: troubleBesidePhotos(failure, draft),
    missing: busy ? t("log.saving") : missing,
    save: press,
  };
}

export type LogForm = ReturnType<typeof useLog>;
