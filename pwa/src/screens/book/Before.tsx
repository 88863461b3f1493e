import { StateShape } from "../../components/StateShape";
import type { JobView } from "../../queries/job";
import { hasText, t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { issueLine } from "../office/issue-line";

type Props = { plan: JobPlan; view: JobView };

/** What the technician proves before anything else, and what to bring for it. */
export function Before({ plan, view }: Props) {
  const first = plan.must_be_proved_first
    .map((id) => view.issueById.get(id))
    .filter((issue) => issue !== undefined);
  const bring = plan.bring.filter(hasText).map((code) => t(code));
  return (
    <>
      {first.length > 0 && (
        <section class="stack">
          <h2>{t("book.proved_first")}</h2>
          <ul class="office-list">
            {first.map((issue) => (
              <li key={issue.id}>
                <StateShape state={issue.state} size="small" />
                <span>{issueLine(issue)}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
      <section class="stack">
        <h2>{t("book.bring")}</h2>
        <p>{bring.length > 0 ? bring.join(", ") : t("book.bring_none")}</p>
      </section>
    </>
  );
}
