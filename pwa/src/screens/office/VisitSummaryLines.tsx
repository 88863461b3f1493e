import { StateShape } from "../../components/StateShape";
import type { VisitSummary } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { openShape } from "../parts/plan-words";
import { wordsFor } from "../parts/unit-words";

type Props = { summary: VisitSummary; view: JobView };

function stepWords(code: string, { systemId, view }: { systemId: string; view: JobView }): string {
  const step = wordsFor("step", code);
  const system = view.systemById.get(systemId)?.tag;
  return system && view.systems.length > 1 ? t("board.waits.step_at", { step, system }) : step;
}

/** What the technician reported on leaving: done, not done and why. */
export function VisitSummaryLines({ summary, view }: Props) {
  return (
    <div class="office-summary">
      {summary.done.length > 0 && (
        <>
          <h4>{t("office.visit_done")}</h4>
          <ul>
            {summary.done.map(({ system_id, code, count }) => (
              <li key={`${system_id} ${code}`}>
                <StateShape state="done" size="small" says="shape" />
                <span>
                  {t("office.visit_done_count", {
                    step: stepWords(code, { systemId: system_id, view }),
                    count,
                  })}
                </span>
              </li>
            ))}
          </ul>
        </>
      )}
      {summary.not_done.length > 0 && (
        <>
          <h4>{t("office.visit_not_done")}</h4>
          <ul>
            {summary.not_done.map(({ system_id, code, state, words }) => (
              <li key={`${system_id} ${code}`}>
                <StateShape state={openShape(state ?? "gated")} size="small" says="shape" />
                <span>
                  {stepWords(code, { systemId: system_id, view })}
                  {words && `: ${words}`}
                </span>
              </li>
            ))}
          </ul>
        </>
      )}
      <p>{t("office.visit_issues_open", { count: summary.issues_open })}</p>
    </div>
  );
}
