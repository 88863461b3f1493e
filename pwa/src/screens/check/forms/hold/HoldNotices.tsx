import { Notice } from "../../../../components/Notice";
import type { Hold } from "../../../../queries/holds";
import { ENDED } from "../../../../queries/holds";
import { t } from "../../../../text";
import type { Held } from "./useHold";

/** The server works every reading out again; where it comes to something else, that is said. */
function serverWords({ tip }: Hold): string | null {
  if (!tip.differs) return null;
  const verdict = tip.server_outputs?.["verdict"];
  if (verdict === tip.verdict || typeof verdict !== "string") {
    return t("unit.server_numbers_differ");
  }
  const words = t(`state.${verdict as "pass" | "fail" | "unclear"}`).toLowerCase();
  return t("unit.server_differs", { verdict: words });
}

/** A pass from before the circuit was opened proves nothing any more. */
function isOpenedSince(hold: Hold, { at }: Held): boolean {
  return hold.state === "passed" && at.step?.state === "todo" && at.step.reset_by !== null;
}

/** What is to be said of a hold before its result. */
export function HoldNotices({ held, hold }: { held: Held; hold: Hold }) {
  const server = serverWords(hold);
  const why = hold.tip.entered[ENDED]?.text;
  return (
    <>
      {held.trouble && (
        <Notice kind="bad" urgency="now">
          {held.trouble}
        </Notice>
      )}
      {held.savedId === hold.tip.id && (
        <Notice kind={hold.state === "failed" ? "plain" : "good"} urgency="now">
          <b>{t("sync.saved")}</b> {t("hold.saved_words", { count: hold.points.length })}
        </Notice>
      )}
      {server && <Notice kind="bad">{server}</Notice>}
      {hold.isMerged && <Notice kind="doubt">{t("hold.merged")}</Notice>}
      {isOpenedSince(hold, held) && <Notice kind="doubt">{t("hold.opened_since")}</Notice>}
      {hold.state === "ended" && (
        <Notice>{t("hold.ended_by", { name: hold.tip.by_name, why: why ?? "–" })}</Notice>
      )}
    </>
  );
}
