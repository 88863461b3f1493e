import { useEffect } from "preact/hooks";
import { Tick } from "../../../components/Choice";
import { t } from "../../../text";
import { lastInSystem } from "../../parts/reading/before";
import { type Field, known, type ReadingDraft } from "../../parts/reading/entry";
import { QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { ResultCard } from "../../parts/reading/ResultCard";
import { type Reading, useReading } from "../../parts/reading/useReading";
import { portCount } from "./ports/sheet";
import "./switches/switches.css";
import { Boards } from "./switches/Boards";
import {
  PER_BOARD,
  PORTS,
  type SwitchesResult,
  stepOfBox,
  switchInputs,
  type Ticked,
} from "./switches/switches";

const fields = (): Field[] => [
  { name: PER_BOARD, label: t("field.ports_per_board"), quantity: "count" },
  { name: PORTS, label: t("field.ports"), quantity: "count" },
];

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

/** Where each switch of one branch box belongs, drawn board by board as one stands before it. */
export default function PortSwitches(at: FormProps) {
  const step = stepOfBox(at);
  const form = useReading<Ticked, SwitchesResult>({
    calculation: "port_switches",
    where: at,
    own: { set: "no" },
    start: (draft) => begun(draft, at),
    fields,
    inputs: (values) => switchInputs(values, at),
    doneStep: ({ own }) => (own.set === "yes" ? (step?.id ?? null) : null),
    repeats: [],
    again: "replaces",
  });
  usePerBoard(form, at);
  const tag = at.unit?.tag ?? "";
  // Where all is known the keypad stays away: the boards are what is looked at.
  const isKnown = fields().every(({ name }) => form.values[name] !== undefined);
  return (
    <ReadingScreen
      at={at}
      form={{ ...form, isUntouched: form.isUntouched && !isKnown }}
      result={(result) => (
        <>
          {at.unit && <Boards result={result as SwitchesResult} view={at.view} box={at.unit} />}
          {step && (
            <div>
              <Tick
                label={t("switches.set")}
                checked={form.draft.own.set === "yes"}
                onChange={(isSet) => form.changeOwn({ set: isSet ? "yes" : "no" })}
              />
              <p class="quiet-text">
                {t(step.state === "done" ? "switches.is_done" : "switches.set_hint", { tag })}
              </p>
            </div>
          )}
          <ResultCard calculation="port_switches" result={result} units={form.units} />
        </>
      )}
    >
      <p class="quiet-text">{t("switches.hint")}</p>
      <QuantityFields form={form} />
    </ReadingScreen>
  );
}
