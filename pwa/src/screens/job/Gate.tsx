import { ButtonLink } from "../../components/Button";
import { Caution } from "../../components/Caution";
import { Notice } from "../../components/Notice";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan, PlanGroup } from "../../trade/types";
import { issueInWords } from "../parts/issue-words";
import { whyWords } from "../parts/plan-words";
import { gateCautions } from "../parts/step-gate";
import { cautionsOf } from "./cautions";

export type OfGroup = { view: JobView; plan: JobPlan; group: PlanGroup };

/** Why it is gated, and the way to each issue that stops it. */
export function Gate({ view, plan, group }: OfGroup) {
  if (group.why.length === 0) return null;
  const issues = group.why.flatMap((why) => view.issueById.get(why.id) ?? []);
  return (
    <Notice>
      <p>{whyWords(group.why, { view, plan })}</p>
      <div class="row">
        {issues.map((issue) => (
          <ButtonLink key={issue.id} href={`/job/${view.job.id}/issue/${issue.id}`}>
            {t("sheet.open_issue", { issue: issueInWords(issue, { view }) })}
          </ButtonLink>
        ))}
      </div>
    </Notice>
  );
}

/** What can hurt at this step, and at what stands before it. */
export function StepCautions({ group, ...of }: OfGroup) {
  const words = new Set([...gateCautions(group, of), ...cautionsOf(group.code)]);
  return (
    <>
      {[...words].map((caution) => (
        <Caution key={caution} place="alone">
          {caution}
        </Caution>
      ))}
    </>
  );
}
