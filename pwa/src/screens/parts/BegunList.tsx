import { StateShape } from "../../components/StateShape";
import type { Begun } from "../../queries/begun";
import { t } from "../../text";

function titleOf({ unit, issue }: Begun): string {
  if (issue?.number) return t("begun.on_issue", { number: issue.number });
  if (issue) return t("begun.on_new_issue");
  return unit ? t("begun.issue_at", { tag: unit.tag }) : t("begun.issue");
}

/** Half-written, and so on nobody's list: each with the way to go on with it. */
export function BegunList({ begun }: { begun: Begun[] }) {
  if (begun.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{t("begun.title")}</h2>
      <ul>
        {begun.map((one) => (
          <li key={one.key}>
            <a class="unit-row" href={one.path}>
              <StateShape state="unclear" says="shape" />
              <span class="unit-row-words">
                <span class="unit-row-tag">{titleOf(one)}</span>
                <span class="quiet-text block">
                  {one.photos > 0
                    ? t("begun.with_photos", { job: one.job_name, count: one.photos })
                    : one.job_name}
                </span>
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
