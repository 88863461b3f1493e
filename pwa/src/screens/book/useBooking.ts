import { planVisit } from "../../actions/planVisit";
import { wallClock } from "../../format/zoned";
import type { JobView } from "../../queries/job";
import { useNow } from "../../queries/now";
import type { JobPlan } from "../../trade/types";
import { useDraft } from "../parts/useDraft";
import { doubtsAbout, proposedVisit, startsAt, type VisitForm, visitProblems } from "./visit-form";

type Of = { view: JobView; plan: JobPlan };

function emptyForm({ view, plan }: Of): VisitForm {
  const last = view.visits.filter((visit) => visit.state === "closed").at(-1);
  const proposed = proposedVisit(plan, { zone: view.job.time_zone });
  return {
    purpose: last ? "part_two" : "part_one",
    day: proposed?.day ?? "",
    start: proposed?.start ?? view.job.shift_start,
    hours: proposed?.hours ?? 4,
    personId: last?.person_id ?? "",
    note: "",
  };
}

/** The visit as it is being planned: filled in with the plan's proposal, kept as it is changed. */
export function useBooking({ view, plan }: Of) {
  const { id: jobId, time_zone: zone, shift_start: from, shift_end: to } = view.job;
  const draftKey = `book:${jobId}`;
  const { value: form, change } = useDraft(draftKey, { empty: emptyForm({ view, plan }) });
  const nowS = useNow().value;
  const { date: today } = wallClock(nowS * 1000, { zone });
  const save = () =>
    planVisit({
      jobId,
      purpose: form.purpose,
      startsAt: new Date(startsAt(form, { zone })).toISOString(),
      plannedS: form.hours * 3600,
      personId: form.personId,
      note: form.note.trim() || null,
      draftKey,
    });
  return {
    form,
    change,
    save,
    problems: visitProblems(form, { today }),
    doubts: doubtsAbout(form, { plan, shift: { zone, from, to }, nowS }),
  };
}
