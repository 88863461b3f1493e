import { Caution } from "../../../../components/Caution";
import { clockOf } from "../../../../queries/hold-due";
import type { Hold } from "../../../../queries/holds";
import { t } from "../../../../text";
import { ResultCard, verdictWords } from "../../../parts/reading/ResultCard";
import { codeWords } from "../../../parts/reading/reason-words";
import { tagsOf } from "../../../parts/reading/tags";
import type { Result } from "../../../parts/reading/useLive";
import { leftWords } from "./left-words";
import type { Held } from "./useHold";

/** The hold as it would stand with this result. */
function standing({ hold, shown }: Held, result: Result): Hold | undefined {
  if (!hold) return undefined;
  const startedAt = shown.points[0]?.at ?? hold.startedAt;
  return { ...hold, points: shown.points, startedAt, tip: { ...hold.tip, outputs: result } };
}

/** What can hurt, under the curve: the list is long, and the hold itself is what one comes for. */
export function HoldCautions({ result }: { result: Result }) {
  const cautions = codeWords(result.cautions);
  return cautions.length > 0 ? <Caution place="alone">{cautions}</Caution> : null;
}

/** Gas and pipe come to one temperature first: what is left is that, and no hold yet. */
const SETTLED_AFTER_S = 600;

function isSettling({ next = [], ["hold_left_s"]: left_s }: Result): boolean {
  const isYoung = typeof left_s === "number" && left_s <= SETTLED_AFTER_S;
  return isYoung && next.includes("next.read_again_when_settled");
}

/** Where the time still needed is said, "read again" need not be. */
function nextOf({ next = [] }: Result, { left }: { left: string | null }): string[] {
  return left ? next.filter((code) => code !== "next.hold_longer") : next;
}

/** Verdict, number, time still needed, reasons, next. */
export function HoldResult({ held, result }: { held: Held; result: Result }) {
  const { kind, at, now_ms, edit, units } = held;
  const hold = edit.kind === "begin" ? undefined : standing(held, result);
  const now_s = now_ms / 1000;
  const isOpen = result.verdict === "unclear" && held.hold?.state !== "ended";
  const left =
    isOpen && hold
      ? leftWords(clockOf(hold, { now_s }), {
          now_s,
          zone: at.view.job.time_zone,
          isSettling: isSettling(result),
        })
      : null;
  const word = isOpen ? t("hold.unclear_so_far") : verdictWords(kind.calculation, result);
  return (
    <ResultCard
      calculation={kind.calculation}
      result={{ ...result, cautions: [], next: nextOf(result, { left }) }}
      units={units}
      nameOf={tagsOf(at)}
      word={held.hold?.state === "ended" && edit.kind === "look" ? t("hold.ended") : word}
    >
      {left && <p class="verdict-next">{left}</p>}
    </ResultCard>
  );
}
