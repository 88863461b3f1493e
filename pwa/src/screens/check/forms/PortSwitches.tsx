import { useEffect } from "preact/hooks";
import { Tick } from "../../../components/Choice";
import { Notice } from "../../../components/Notice";
import type { StepRow } from "../../../local/rows";
import { t } from "../../../text";
import { lastInSystem } from "../../parts/reading/before";
import { known, type ReadingDraft } from "../../parts/reading/entry";
import { QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { ResultCard } from "../../parts/reading/ResultCard";
import { type Reading, useReading } from "../../parts/reading/useReading";
import { portCount } from "./ports/sheet";
import "./switches/switches.css";
import { Boards } from "./switches/Boards";
import {
  fieldsOfBox,
  PER_BOARD,
  PORTS,
  type SwitchesResult,
  shownBeside,
  stepOfBox,
  switchInputs,
  type Ticked,
  ticked,
  tickOf,
} from "./switches/switches";

/** Ports from the sheet. */
function begun(draft: ReadingDraft<Ticked>, at: FormProps): ReadingDraft<Ticked> {
  const count = at.unit ? portCount(at.unit, at) : 0;
  return count > 0 ? { ...draft, typed: { [PORTS]: known(count, { unit: "" }) } } : draft;
}

/**
 * Positions on a board as they were typed for the last box of the system. The box before may have
 * been saved a moment ago, so this is looked at again when the readings change.
 */
function usePerBoard(form: Reading<Ticked, SwitchesResult>, at: FormProps) {
  const before = lastInSystem("port_switches", at);
  const entry = before?.entered[PER_BOARD];
  useEffect(() => {
    if (!form.ready || !entry || form.draft.typed[PER_BOARD]) return;
    const perBoard = { ...entry, shown: entry.unit };
    form.change((now) => ({ typed: { ...now.typed, [PER_BOARD]: perBoard } }));
  }, [form.ready, before?.id]);
}

type SetProps = { form: Reading<Ticked, SwitchesResult>; at: FormProps; step: StepRow };

/** Said of the boards that are on the screen: with other boards it falls away and is asked again. */
function SetAsShown({ form, at, step }: SetProps) {
  const tick = tickOf(form.draft, at);
  const tag = at.unit?.tag ?? "";
  return (
    <div>
      {tick === "changed" && <Notice kind="doubt">{t("switches.changed")}</Notice>}
      <Tick
        label={t("switches.set")}
        checked={tick === "set"}
        onChange={(isSet) => form.changeOwn(isSet ? ticked(form.draft, at) : { setAs: null })}
      />
      <p class="quiet-text">
        {t(step.state === "done" ? "switches.is_done" : "switches.set_hint", { tag })}
      </p>
    </div>
  );
}

/** Where each switch of one branch box belongs, drawn board by board as one stands before it. */
export default function PortSwitches(at: FormProps) {
  const step = stepOfBox(at);
  const form = useReading<Ticked, SwitchesResult>({
    calculation: "port_switches",
    where: at,
    own: { setAs: null },
    start: (draft) => begun(draft, at),
    fields: fieldsOfBox,
    inputs: (values) => switchInputs(values, at),
    shownBeside,
    doneStep: (draft) => (tickOf(draft, at) === "set" ? (step?.id ?? null) : null),
    repeats: [],
    again: "replaces",
  });
  usePerBoard(form, at);
  // Where all is known the keypad stays away: the boards are what is looked at.
  const isKnown = fieldsOfBox().every(({ name }) => form.values[name] !== undefined);
  return (
    <ReadingScreen
      at={at}
      form={{ ...form, isUntouched: form.isUntouched && !isKnown }}
      result={(result) => (
        <>
          {at.unit && <Boards result={result as SwitchesResult} view={at.view} box={at.unit} />}
          {step && <SetAsShown form={form} at={at} step={step} />}
          <ResultCard calculation="port_switches" result={result} units={form.units} />
        </>
      )}
    >
      <p class="quiet-text">{t("switches.hint")}</p>
      <QuantityFields form={form} />
    </ReadingScreen>
  );
}
