import { useState } from "preact/hooks";
import { saveDraft } from "../../../../actions/drafts";
import { Button } from "../../../../components/Button";
import { Notice } from "../../../../components/Notice";
import { Sheet } from "../../../../components/Sheet";
import { t } from "../../../../text";
import { PickField } from "../../../parts/reading/fields";
import { ReadingScreen } from "../../../parts/reading/ReadingScreen";
import { ResultCard, verdictWords } from "../../../parts/reading/ResultCard";
import { draftKeyOf } from "../../../parts/reading/useReading";
import { isSupply, modeOf } from "./draft";
import { EachUnit } from "./EachUnit";
import { FoundGrid } from "./FoundGrid";
import { PlaceStrip } from "./PlaceStrip";
import { byId, isTurned, withoutStart, withRound } from "./rounds";
import { Settings } from "./Settings";
import { type Check, modePick } from "./usePortCheck";
import type { ReadResult } from "./words";

type Props = { check: Check };

/** What is still open is settled by one more round, there and then. */
function OneMore({ check, result }: Props & { result: ReadResult }) {
  const { form } = check;
  const next = result.next_round;
  if (!next) return null;
  const go = (after: "straight" | "pause") =>
    form.change((now) => ({ own: withRound(now.own, { next: byId(next, check), after }) }));
  return (
    <Notice kind="doubt">
      <b>{t("port_check.one_more")}</b>
      <p>
        {t("port_check.one_more_words", {
          on: next.on.join(", "),
          read: next.read.join(", "),
        })}
      </p>
      <p>{t("port_check.one_more_gap")}</p>
      <div class="actions">
        <Button onPress={() => go("straight")}>{t("port_check.do_it")}</Button>
        <Button onPress={() => go("pause")}>{t("port_check.do_it_paused")}</Button>
      </div>
    </Notice>
  );
}

/** Beginning anew costs all that was typed, so it is asked about. */
function PlanAnew({ check }: Props) {
  const [isAsked, setAsked] = useState(false);
  const { form } = check;
  const throwAway = () => {
    form.change((now) => ({
      typed: Object.fromEntries(
        Object.entries(now.typed).filter(([name]) => !/^(start|supply|difference)[.[]/.test(name)),
      ),
      own: { codes: null, rounds: [], place: "start" },
    }));
    setAsked(false);
  };
  return (
    <>
      <Button kind="quiet" onPress={() => setAsked(true)}>
        {t("port_check.throw_away")}
      </Button>
      {isAsked && (
        <Sheet title={t("port_check.throw_away_sure")} onClose={() => setAsked(false)}>
          <div class="stack">
            <p>{t("port_check.throw_away_words")}</p>
            <Button kind="danger" onPress={throwAway}>
              {t("port_check.throw_away_yes")}
            </Button>
            <Button onPress={() => setAsked(false)}>{t("port_check.keep")}</Button>
          </div>
        </Sheet>
      )}
    </>
  );
}

/** Found so far: swaps in words, every unit against every port, and what would tell more. */
export function ResultScreen({ check }: Props) {
  const { at, form } = check;
  const lost = withoutStart(form.draft, check);
  const isOpen = Boolean(form.saved && (form.saved.result as ReadResult).next_round);
  const goOn = async () => {
    await saveDraft(draftKeyOf(form.calculation, at), form.draft);
    at.onAgain();
  };
  return (
    <ReadingScreen
      at={isOpen ? { ...at, onAgain: () => void goOn() } : at}
      again={isOpen ? t("port_check.go_on") : undefined}
      form={form}
      result={(found) => {
        const result = found as ReadResult;
        return (
          <>
            <ResultCard
              calculation="port_check_read"
              result={result}
              units={form.units}
              word={verdictWords("port_check_read", result)}
            />
            <OneMore check={check} result={result} />
            <FoundGrid assignment={result.assignment} />
            <EachUnit assignment={result.assignment} />
          </>
        );
      }}
      after={
        <>
          <Settings check={check}>
            {isSupply(form.draft) && <PickField form={form} pick={modePick()} />}
          </Settings>
          <PlanAnew check={check} />
        </>
      }
    >
      <PlaceStrip check={check} />
      {isTurned(form.values, form.draft) && (
        <Notice kind="doubt">{t("port_check.turned", { mode: modeOf(form.draft) })}</Notice>
      )}
      {lost.length > 0 && (
        <Notice kind="doubt">{t("port_check.no_start", { tags: lost.join(", ") })}</Notice>
      )}
    </ReadingScreen>
  );
}
