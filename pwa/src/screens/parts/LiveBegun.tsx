import { useBegun } from "../../queries/begun";
import { BegunList } from "./BegunList";

type Props = {
  /** Only what is begun at this unit. */
  unitId?: string;
  /** Only what is begun on this job, but for this entry, which is open. */
  jobId?: string;
  but?: string;
};

/** What is begun and not saved, on the first screen of each role and where it belongs. */
export function LiveBegun({ unitId, jobId, but }: Props) {
  const begun = (useBegun().value ?? []).filter(
    (one) =>
      (!unitId || one.unit?.id === unitId) && (!jobId || one.job_id === jobId) && one.key !== but,
  );
  return <BegunList begun={begun} />;
}
