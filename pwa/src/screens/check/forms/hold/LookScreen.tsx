import { ButtonLink } from "../../../../components/Button";
import { Screen } from "../../../../components/Screen";
import { TopBar } from "../../../../components/TopBar";
import { formatSpan } from "../../../../format/time";
import { clockOf } from "../../../../queries/hold-due";
import type { Hold } from "../../../../queries/holds";
import { t } from "../../../../text";
import { LiveSync } from "../../../parts/LiveSync";
import { calibrationDoubts } from "../../../parts/reading/instruments";
import { titleOf } from "../../../parts/reading/ReadingScreen";
import type { Result } from "../../../parts/reading/useLive";
import { EarlierHolds } from "./EarlierHolds";
import { HoldCurve } from "./HoldCurve";
import { HoldNotices } from "./HoldNotices";
import { HoldCautions, HoldResult } from "./HoldResult";
import { MoreActions } from "./MoreActions";
import { LatestReading, ReadingList } from "./ReadingList";
import type { Held } from "./useHold";

type Props = { held: Held; hold: Hold };

/** "Running for 18 h 40 min, 6 readings" */
function underWords({ held, hold }: Props): string {
  const { elapsed_s } = clockOf(hold, { now_s: held.now_ms / 1000 });
  const last_ms = Date.parse(hold.points.at(-1)?.at ?? hold.startedAt);
  const took_s = (last_ms - Date.parse(hold.startedAt)) / 1000;
  const isRunning = hold.state === "running";
  return t(isRunning ? "hold.running" : "hold.ran", {
    span: formatSpan(isRunning ? elapsed_s : took_s),
    count: hold.points.length,
  });
}

/** What was recorded; only what two phones wrote at once is worked out anew. */
function resultOf({ held, hold }: Props): Result {
  const { live } = held.form;
  return hold.isMerged && live.kind === "result" ? live.result : (hold.tip.outputs as Result);
}

/** Running: the next reading. Failed: what it leads to. Else the way back. */
function WaysOn({ held, hold }: Props) {
  const { at } = held;
  const log = at.system
    ? `/job/${at.view.job.id}/log?system=${at.system.id}`
    : `/job/${at.view.job.id}/log`;
  const add = held.path({ to: "add" });
  if (hold.state === "running") {
    return (
      <>
        <ButtonLink kind="primary" href={add}>
          {t("hold.add")}
        </ButtonLink>
        <ButtonLink href={log}>{t("job.log")}</ButtonLink>
      </>
    );
  }
  if (hold.state === "failed") {
    // What was lost is to be mended by somebody; more readings may still say what it was.
    return (
      <>
        <ButtonLink kind="primary" href={log}>
          {t("job.log")}
        </ButtonLink>
        <ButtonLink href={add}>{t("hold.add")}</ButtonLink>
      </>
    );
  }
  return (
    <ButtonLink kind="primary" href={at.back}>
      {t("check.done")}
    </ButtonLink>
  );
}

/** The hold as it stands: verdict, curve, last reading, all readings. */
export function LookScreen({ held, hold }: Props) {
  const { at, form } = held;
  const title = titleOf(form);
  const result = resultOf({ held, hold });
  const { instrument } = hold.tip;
  const today = new Date(held.now_ms).toISOString().slice(0, 10);
  return (
    <Screen
      name={title}
      top={<TopBar title={title} under={underWords({ held, hold })} back={at.back} />}
      bottom={<WaysOn held={held} hold={hold} />}
    >
      {(held.savedId !== hold.tip.id || hold.tip.pending) && <LiveSync />}
      <HoldNotices held={held} hold={hold} />
      <HoldResult held={held} result={result} />
      <HoldCurve held={held} result={result} />
      <LatestReading held={held} hold={hold} result={result} />
      <HoldCautions result={result} />
      <ReadingList held={held} hold={hold} />
      <EarlierHolds held={held} />
      {instrument && (
        <p class="quiet-text">
          {t("instrument.used", {
            name: [instrument, ...(instrument.others ?? [])].map((one) => one.name).join(", "),
          })}
        </p>
      )}
      {instrument &&
        calibrationDoubts([instrument, ...(instrument.others ?? [])], { today }).map((words) => (
          <p key={words} class="quiet-text">
            {words}
          </p>
        ))}
      <MoreActions held={held} hold={hold} />
    </Screen>
  );
}
