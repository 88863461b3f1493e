import { wallClock } from "../../format/zoned";
import { useNow } from "../../queries/now";
import { visitProblems } from "../book/visit-form";
import { useDraft } from "../parts/useDraft";
import { emptyJob, jobProblems } from "./job-form";

export const DRAFT_KEY = "new-job";

/** What was typed so far, and everything that keeps it from being a job. */
export function useJobForm() {
  const { value: form, change } = useDraft(DRAFT_KEY, { empty: emptyJob() });
  const { date: today } = wallClock(useNow().value * 1000, { zone: form.zone });
  const ofJob = jobProblems(form);
  const ofVisit = visitProblems(form.visit, { today });
  const missing = Object.keys(ofJob).length + Object.keys(ofVisit).length;
  return { form, change, ofJob, ofVisit, missing };
}
