import "./waits.css";
import { StateShape } from "../../components/StateShape";
import { formatDay, formatDayTime } from "../../format";
import type { IssueRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { issueRef, issueTitle } from "../parts/issue-words";
import { wordsFor } from "../parts/unit-words";
import { VisitShape } from "./VisitShape";
import { shapeOf, type Waits } from "./waits";

type Props = { waits: Waits | undefined; view: JobView; now: number };

/** What a job waits for, worst first: shape and words. */
export function WaitsCell({ waits, view, now }: Props) {
  if (!waits) return <p class="board-waits quiet-text">{t("board.working_out")}</p>;
  const detail = detailWords(waits);
  return (
    <div class="board-waits">
      {waits.kind === "visit" ? <VisitShape /> : <StateShape state={shapeOf(waits)} says="shape" />}
      <div>
        <p class="board-waits-main">{mainWords(waits, { view, now })}</p>
        {detail && <p class="quiet-text board-waits-detail">{detail}</p>}
      </div>
    </div>
  );
}

function issueName(issue: IssueRow, { view }: { view: JobView }): string {
  const name = issueRef(issue);
  const tag = issue.unit_id && view.unitById.get(issue.unit_id)?.tag;
  return tag ? t("board.waits.issue_at", { issue: name, unit: tag }) : name;
}

function issueWords(
  issue: IssueRow,
  { view, daysLate }: { view: JobView; daysLate: number | null },
): string {
  const named = { issue: issueName(issue, { view }) };
  if (daysLate !== null) return t("board.waits.issue_overdue", { ...named, days: daysLate });
  if (issue.state === "answered") return t("board.waits.issue_answered", named);
  if (issue.promised_on) {
    const day = formatDay(issue.promised_on, { zone: view.job.time_zone });
    return t("board.waits.issue_promised", { ...named, day });
  }
  return t(
    issue.state === "sent_back" ? "board.waits.issue_sent_back" : "board.waits.issue_open",
    named,
  );
}

function mainWords(waits: Waits, { view, now }: { view: JobView; now: number }): string {
  if (waits.kind === "issue") return issueWords(waits.issue, { view, daysLate: waits.daysLate });
  if (waits.kind === "step") {
    const system = view.systemById.get(waits.group.system_id)?.tag ?? "";
    return t("board.waits.step_at", { step: wordsFor("step", waits.group.code), system });
  }
  if (waits.kind === "visit") return visitWords(waits, { view, now });
  return t(waits.kind === "nothing" ? "board.waits.nothing" : "board.waits.nothing_left");
}

function visitWords(
  { visit, isOn }: Extract<Waits, { kind: "visit" }>,
  { view, now }: { view: JobView; now: number },
): string {
  const zone = view.job.time_zone;
  const person = visit.person_name ?? t("board.nobody");
  const when = formatDayTime(visit.starts_at, { zone });
  if (!isOn) return t("board.waits.visit_booked", { when, person });
  const day = formatDay(visit.starts_at, { zone });
  return day === formatDay(now, { zone })
    ? t("board.waits.visit_on", { person })
    : t("board.waits.visit_open", { day, person });
}

function detailWords(waits: Waits): string | null {
  if (waits.kind !== "issue" && waits.kind !== "step") return null;
  const more = waits.more > 0 ? t("board.waits.more", { count: waits.more }) : "";
  const words = waits.kind === "issue" ? issueTitle(waits.issue) : "";
  return [words, more].filter(Boolean).join(" · ") || null;
}
