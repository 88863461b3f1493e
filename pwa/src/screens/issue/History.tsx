import { type State, StateShape } from "../../components/StateShape";
import { formatDay, formatDayTime } from "../../format/time";
import type { IssueEventKind } from "../../local/rows";
import { lastMadeFirst } from "../../queries/made";
import { t } from "../../text";
import type { OfIssue } from "./index";

const SHAPE: Record<IssueEventKind, State> = {
  raised: "open",
  changed: "todo",
  promised: "open",
  answered: "answered",
  proved: "proved",
  sent_back: "sent_back",
  accepted: "accepted",
};

/** Who did what, and when by their clock: what came last first. */
export function History({ view, issue }: OfIssue) {
  const zone = { zone: view.job.time_zone };
  const events = lastMadeFirst(view.eventsByIssue.get(issue.id) ?? []);
  if (events.length === 0) return null;
  return (
    <section class="stack">
      <h2 class="section-title">{t("issue.history")}</h2>
      <ol class="history">
        {events.map((event) => (
          <li key={event.id}>
            <StateShape state={SHAPE[event.kind]} size="small" says="shape" />
            <b>{t(`issue.event_${event.kind}`, { who: event.by_name })}</b>
            {event.words && <p>{event.words}</p>}
            {event.promised_on && (
              <p>{t("issue.promises", { day: formatDay(event.promised_on, zone) })}</p>
            )}
            <p class="quiet-text">{formatDayTime(event.at, zone)}</p>
          </li>
        ))}
      </ol>
    </section>
  );
}
