import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { closeVisit } from "../../actions/closeVisit";
import { t } from "../../text";
import { wentBackTo } from "../../way-back";
import { failureWords } from "../parts/failure";
import { useDraft } from "../parts/useDraft";
import type { OfVisit } from "./CloseVisit";
import { summaryOf } from "./summary";

/** The words for the office, and closing: with no signal too, the visit is closed on this phone. */
export function useClosing({ view, plan, visit }: OfVisit) {
  const { route } = useLocation();
  const draftKey = `leave:${visit.id}`;
  const { value, change } = useDraft<{ note: string }>(draftKey, { empty: { note: "" } });
  const [trouble, setTrouble] = useState<string>();
  const [busy, setBusy] = useState(false);
  const close = async () => {
    setBusy(true);
    const result = await closeVisit({
      jobId: view.job.id,
      visitId: visit.id,
      summary: summaryOf(visit, { view, plan }),
      note: value.note.trim() || null,
      draftKey,
    });
    setBusy(false);
    if (!result.ok) return setTrouble(failureWords(result));
    if (!wentBackTo("/")) route("/");
  };
  return {
    note: value.note,
    write: (note: string) => change({ note }),
    trouble,
    notYet: busy ? t("log.saving") : undefined,
    close,
  };
}
