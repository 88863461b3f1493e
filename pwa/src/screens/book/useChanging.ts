import { setVisit } from "../../actions/setVisit";
import { wallClock } from "../../format/zoned";
import type { Result } from "../../local/result";
import type { VisitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { useNow } from "../../queries/now";
import type { JobPlan } from "../../trade/types";
import { useDraft } from "../parts/useDraft";
import { changesIn, doubtsAbout, formOf, type VisitForm, visitProblems } from "./visit-form";

export type OfVisit = { view: JobView; plan: JobPlan; visit: VisitRow };

/**
 * A booked visit while it is being changed. Kept is only what was touched: the rest follows the visit, which
 * somebody else may change meanwhile.
 */
export function useChanging({ view, plan, visit }: OfVisit) {
  const { id: jobId, time_zone: zone, shift_start: shiftFrom, shift_end: to } = view.job;
  const draftKey = `rebook:${visit.id}`;
  const touched = useDraft<Partial<VisitForm>>(draftKey, { empty: {} });
  const from = formOf(visit, { zone });
  const form = { ...from, ...touched.value };
  const changes = changesIn(form, { from, zone });
  const nowS = useNow().value;
  const { date } = wallClock(nowS * 1000, { zone });
  // A day that has passed may stay: the visit is given to somebody else, or was longer than planned.
  const today = from.day < date && form.day === from.day ? from.day : date;
  const save = async (): Promise<Result> =>
    Object.keys(changes).length > 0
      ? await setVisit({ jobId, visitId: visit.id, changes, draftKey })
      : { ok: true, id: visit.id };
  return {
    form,
    change: touched.change,
    save,
    problems: visitProblems(form, { today }),
    doubts: doubtsAbout(form, { plan, shift: { zone, from: shiftFrom, to }, nowS }),
    isGivenAway: changes.person_id !== undefined,
  };
}
