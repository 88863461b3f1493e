import { useEffect, useRef } from "preact/hooks";
import type { Entered } from "../../../../local/rows";
import { lastHold } from "../../../../queries/holds";
import type { Entry } from "../../../parts/reading/entry";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { asksReading, asksSetUp, type Edit } from "./edit";
import type { HoldKind } from "./kind";
import { placed, setupOf } from "./record";
import { resolutionOf } from "./resolution";
import type { HoldForm } from "./useHold";

type Of = { kind: HoldKind; edit: Edit; at: FormProps };

/** What is known already: what is corrected, or what was set up before on this job. */
function knownOf({ kind, edit, at }: Of): Entered {
  if (edit.kind === "correct") {
    const { id, typed } = edit.point;
    return Object.fromEntries(Object.entries(typed).map(([name, one]) => [placed(id, name), one]));
  }
  if (edit.kind === "set_up") return setupOf(edit.hold).typed;
  if (edit.kind !== "begin") return {};
  const { view, system } = at;
  const here = lastHold(kind.calculation, { view, systemId: system?.id ?? null });
  if (here) return without(kind.ofOne ?? [], setupOf(here).typed);
  const other = view.systems
    .flatMap((one) => lastHold(kind.calculation, { view, systemId: one.id }) ?? [])
    .sort((a, b) => b.begun - a.begun)[0];
  const sheet = kind.ofSheet?.(view) ?? {};
  if (!other) return sheet;
  const typed = Object.entries(setupOf(other).typed);
  const repeated = typed.filter(([name]) => kind.repeats.includes(name));
  return { ...sheet, ...Object.fromEntries(repeated) };
}

function without(names: string[], typed: Entered): Entered {
  return Object.fromEntries(Object.entries(typed).filter(([name]) => !names.includes(name)));
}

/** A new hold is read with the gauge in the hand: its card says more than the hold before. */
function knownNow(of: Of, { card }: { card: Entered }): Entered {
  if (of.edit.kind === "begin") return { ...knownOf(of), ...card };
  return asksSetUp(of.edit) ? { ...card, ...knownOf(of) } : knownOf(of);
}

/** Put there once, only where nothing is typed; all of it can be changed. */
export function usePrefilled(form: HoldForm, of: Of): void {
  const { edit } = of;
  const what = edit.kind === "correct" ? edit.point.id : edit.kind;
  const resolution = resolutionOf(form.instruments, of.kind.setup(form.draft));
  const given = useRef<Entered>({});
  // The limits of a job that was set up a moment ago come from the server.
  const sheet = JSON.stringify(of.kind.ofSheet?.(of.at.view));
  useEffect(() => {
    if (!form.ready || !(asksReading(edit) || asksSetUp(edit))) return;
    const known = knownNow(of, { card: resolution });
    const before = asksSetUp(edit) ? given.current : {};
    given.current = asksSetUp(edit) ? known : {};
    if (Object.keys({ ...before, ...known }).length === 0) return;
    form.change((now) => {
      const typed = { ...now.typed };
      const picked = { ...now.picked };
      // The step of a gauge that is no longer in the hand goes with it.
      for (const [name, entry] of Object.entries(before)) {
        if (!(name in known) && isNobodys(typed[name], entry)) delete typed[name];
      }
      for (const [name, entry] of Object.entries(known)) {
        if (entry.unit === "") picked[name] ??= entry.text;
        else if (isNobodys(typed[name], before[name])) typed[name] = asEntry(entry);
      }
      return { typed, picked };
    });
  }, [form.ready, what, JSON.stringify(resolution), sheet]);
}

/** Nothing stands there, or what was put there: of another gauge than the one picked now. */
function isNobodys(typed: Entry | undefined, before: Entered[string] | undefined): boolean {
  if (!typed?.text) return true;
  return typed.text === before?.text && typed.unit === before.unit;
}

function asEntry({ text, unit }: { text: string; unit: string }): Entry {
  return { text, unit, shown: unit };
}
