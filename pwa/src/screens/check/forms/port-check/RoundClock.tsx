import { Button } from "../../../../components/Button";
import { formatClock, formatSpan, formatTime } from "../../../../format/time";
import { t } from "../../../../text";
import { leftS, withClock } from "./rounds";
import type { Check } from "./usePortCheck";
import { useSecond } from "./useSecond";

/** Worked out from when the round began, so that it goes on while the app is closed. */
export function RoundClock({ check, round }: { check: Check; round: number }) {
  const { at, form } = check;
  const now_ms = useSecond();
  const kept = form.draft.own.rounds[round];
  const round_s = form.values["round_s"] ?? 0;
  const left_s = kept ? leftS(kept, { now_ms, round_s }) : null;
  const again = () =>
    form.change((now) => ({
      own: { ...now.own, ...withClock(now.own, { round, now: new Date().toISOString() }) },
    }));
  return (
    <section class="stack">
      <h2 class="section-title">{t("port_check.wait")}</h2>
      {!kept?.started_at || left_s === null ? (
        <p>{t("port_check.clock_none", { span: formatSpan(round_s) })}</p>
      ) : (
        <>
          <p class="round-clock" role="timer">
            <b class="number">{formatClock(left_s)}</b>
            <span>{t(left_s > 0 ? "port_check.clock_wait" : "port_check.clock_over")}</span>
          </p>
          <div class="row">
            <span class="quiet-text">
              {t("port_check.clock_began", {
                time: formatTime(kept.started_at, { zone: at.view.job.time_zone }),
              })}
            </span>
            <Button kind="quiet" onPress={again}>
              {t("port_check.clock_again")}
            </Button>
          </div>
        </>
      )}
    </section>
  );
}
