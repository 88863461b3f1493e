import { Button } from "../../../../components/Button";
import { Caution } from "../../../../components/Caution";
import { Keypad } from "../../../../components/Keypad";
import { Notice } from "../../../../components/Notice";
import { Screen } from "../../../../components/Screen";
import { TopBar } from "../../../../components/TopBar";
import { t } from "../../../../text";
import { LiveSync } from "../../../parts/LiveSync";
import { QuantityFields, UnusualReason } from "../../../parts/reading/fields";
import { InstrumentLine } from "../../../parts/reading/InstrumentLine";
import { OnceReady, titleOf, useFirstField } from "../../../parts/reading/ReadingScreen";
import { codeWords } from "../../../parts/reading/reason-words";
import { valueWords } from "../../../parts/reading/value-words";
import { EarlierHolds } from "./EarlierHolds";
import { asksReading, asksSetUp, type Edit, fieldsOfReading } from "./edit";
import { HoldCurve } from "./HoldCurve";
import { HoldCautions, HoldResult } from "./HoldResult";
import { otherResolution } from "./resolution";
import { TimeOfReading } from "./TimeOfReading";
import type { Held } from "./useHold";

const TITLE = {
  add: "hold.add",
  correct: "hold.correct",
  set_up: "hold.set_up",
} as const;

function titlesOf({ edit, form }: Held): { title: string; under?: string } {
  const name = titleOf(form);
  return edit.kind === "begin" || edit.kind === "look"
    ? { title: name, under: t("hold.begin_under") }
    : { title: t(TITLE[edit.kind]), under: name };
}

const saveWords = (edit: Edit) => t(edit.kind === "begin" ? "hold.begin" : "check.save");

/** What comes out with the reading that is being typed among the others. */
function LiveHold({ held }: { held: Held }) {
  const { form, at, edit } = held;
  if (form.live.kind === "result") {
    return (
      <>
        <HoldResult held={held} result={form.live.result} />
        {edit.kind !== "begin" && <HoldCurve held={held} result={form.live.result} />}
        <HoldCautions result={form.live.result} />
      </>
    );
  }
  return (
    <>
      {form.problem && (
        <Notice kind="doubt" urgency="now">
          {form.problem}
        </Notice>
      )}
      {at.cautions.length > 0 && <Caution place="alone">{codeWords(at.cautions)}</Caution>}
    </>
  );
}

/** The verdict rests on the step of the gauge: another gauge in the hand is not passed over. */
function OtherGauge({ held: { form, kind, shown, units } }: { held: Held }) {
  const used = shown.setup["gauge_resolution_pa"];
  const other = otherResolution(form.instruments, { setup: kind.setup(form.draft), used });
  if (!other || typeof used !== "number") return null;
  const inUse = valueWords("gauge_resolution_pa", used, { calculation: kind.calculation, units });
  return <Notice kind="doubt">{t("hold.other_gauge", { ...other, used: inUse })}</Notice>;
}

/** A reading of the hold while it is typed, and before the first one what is to be known once. */
export function EnterScreen({ held }: { held: Held }) {
  const { kind, at, edit, form } = held;
  const { title, under } = titlesOf(held);
  const box = useFirstField(form);
  const back = edit.kind === "begin" && !held.hold ? at.back : held.path();
  const save = (
    <Button
      kind="primary"
      notYet={held.isBusy ? t("log.saving") : form.missing}
      onPress={() => void held.save()}
    >
      {saveWords(edit)}
    </Button>
  );
  return (
    <Screen
      name={title}
      ground="keypad"
      busy={held.isBusy}
      top={<TopBar title={title} {...(under ? { under } : {})} back={back} />}
      bottom={<Keypad save={save} numbers="signed" />}
    >
      {held.trouble && (
        <Notice kind="bad" urgency="now">
          {held.trouble}
        </Notice>
      )}
      <LiveSync says="waits" />
      <OnceReady form={form}>
        {asksReading(edit) && (
          <div ref={box} class="stack">
            <QuantityFields form={form} fields={fieldsOfReading(kind, edit)} />
            <TimeOfReading held={held} />
          </div>
        )}
        {asksSetUp(edit) && <kind.SetUp form={form} />}
      </OnceReady>
      <UnusualReason form={form} />
      <LiveHold held={held} />
      <InstrumentLine
        zone={at.view.job.time_zone}
        inUse={form.instruments}
        onChoose={(instruments) => form.change({ instruments })}
      />
      <OtherGauge held={held} />
      {edit.kind === "begin" && <EarlierHolds held={held} />}
    </Screen>
  );
}
