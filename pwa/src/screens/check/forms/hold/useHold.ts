import { useEffect, useState } from "preact/hooks";
import { useLocation, useRoute } from "preact-iso/router";
import { siOf, unitOf } from "../../../../format/units";
import { type Hold, lastHold, type Point } from "../../../../queries/holds";
import { t } from "../../../../text";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { useBarometer } from "../../../parts/reading/useBarometer";
import { type Inputs, type Reading, useReading } from "../../../parts/reading/useReading";
import { quantityOf, type UnitsInUse } from "../../../parts/reading/value-words";
import {
  asksReading,
  asksSetUp,
  draftName,
  type Edit,
  editOf,
  fieldsOfReading,
  othersOf,
  pathFor,
} from "./edit";
import type { HoldKind } from "./kind";
import { momentOf, type Told } from "./moment";
import { problemsOf, shownBeside } from "./problems";
import { setupOf } from "./record";
import {
  type HoldDraft,
  type OwnOfHold,
  setupOfTyped,
  type Typed,
  typedPoints,
  typedRecord,
} from "./typed";
import { ended, useKeeping } from "./useKeeping";
import { usePrefilled } from "./usePrefilled";

export type HoldForm = Reading<OwnOfHold>;

/** What a hold screen needs: the hold as recorded, what is done with it now, and what is typed. */
export type Held = {
  kind: HoldKind;
  at: FormProps;
  hold: Hold | undefined;
  edit: Edit;
  form: HoldForm;
  /** Its readings, with the one that is typed now among them. */
  shown: { points: Point[]; setup: Inputs };
  units: UnitsInUse;
  told: Told;
  now_ms: number;
  /** The address for another thing to do here. */
  path: (to?: Parameters<typeof pathFor>[1]) => string;
  /** The reading that was saved just now. */
  savedId: string | undefined;
  trouble: string | undefined;
  isBusy: boolean;
  save: () => Promise<void>;
  end: (why: string) => Promise<void>;
};

const TICK_MS = 10_000;

/** Moves on while somebody looks, and at once when something else is done. */
function useTick(what: string): number {
  const [now_ms, setNow] = useState(Date.now());
  useEffect(() => {
    setNow(Date.now());
    const timer = setInterval(() => setNow(Date.now()), TICK_MS);
    return () => clearInterval(timer);
  }, [what]);
  return now_ms;
}

function tellMoment(
  edit: Edit,
  draft: HoldDraft,
  { now_ms, at }: { now_ms: number; at: FormProps },
) {
  return momentOf({
    typed: draft.own.times[draftName(edit)] ?? null,
    corrected: edit.kind === "correct" ? edit.point : null,
    others: othersOf(edit),
    now_ms,
    zone: at.view.job.time_zone,
  });
}

function momentWanted({ moment, trouble }: Told): string | undefined {
  if (moment) return undefined;
  return t(trouble === "taken" ? "hold.time_taken" : "hold.time_needed");
}

export function useHold(kind: HoldKind, at: FormProps): Held {
  const { query } = useRoute();
  const { url, route } = useLocation();
  const hold = lastHold(kind.calculation, { view: at.view, systemId: at.system?.id ?? null });
  const edit = editOf(query, hold);
  const now_ms = useTick(`${edit.kind} ${hold?.tip.id}`);
  const air = useBarometer();
  const tell = (draft: HoldDraft, now = now_ms) => tellMoment(edit, draft, { now_ms: now, at });
  const typed = (values: Record<string, number>, draft: HoldDraft, now = now_ms): Typed => {
    const { moment } = tell(draft, now);
    return { edit, kind, values, draft, view: at.view, moment, barometerAt: air.at };
  };
  const form = useReading<OwnOfHold>({
    calculation: kind.calculation,
    where: at,
    own: { times: {} },
    fields: (draft) => [
      ...fieldsOfReading(kind, edit),
      ...(asksSetUp(edit) ? kind.setup(draft) : []),
    ],
    picks: () => (asksSetUp(edit) ? (kind.picks?.(at.view) ?? []) : []),
    inputs: (values, draft) => {
      // Looking at a hold shows what was recorded; only what two phones wrote is worked out anew.
      if (edit.kind === "look" && !edit.hold.isMerged) return null;
      return typedRecord(typed(values, draft))?.inputs ?? null;
    },
    missing: (draft) => (asksReading(edit) ? momentWanted(tell(draft)) : undefined),
    refused: (values) => air.refused({ ...siteOf(edit), ...values }),
    shownBeside,
    again: "adds",
    instruments: kind.instruments,
  });
  usePrefilled(form, { kind, edit, at });
  const keeping = { kind, at, hold, edit, form: { ...form, ...problemsOf(form, { edit, tell }) } };
  const { trouble, put, isBusy } = useKeeping(keeping, {
    onKept: (id) => {
      route(pathFor(url, { saved: id }), true);
      at.onAgain();
    },
  });
  return {
    ...keeping,
    shown: shownOf(typed(form.values, form.draft)),
    units: unitsOf(edit, form),
    told: tell(form.draft),
    now_ms,
    path: (to) => pathFor(url, to),
    savedId: query.saved,
    trouble,
    isBusy,
    save: () => put(typedRecord(typed(form.values, form.draft, Date.now()))),
    end: (why) => put(hold ? ended(hold, why) : null),
  };
}

function shownOf(typed: Typed): Held["shown"] {
  const typedNow = typedPoints(typed)?.filter((point) => Object.keys(point.si).length > 0);
  const points = typedNow ?? othersOf(typed.edit);
  return { points, setup: setupOfTyped(typed, points).si };
}

/** The altitude that an earlier app may have kept though the engine refuses it: then it is told by name. */
function siteOf(edit: Edit): Record<string, number> {
  if (edit.kind !== "add" && edit.kind !== "correct") return {};
  const entry = setupOf(edit.hold).typed["altitude_m"];
  const altitude_m = entry ? siOf(entry.text, unitOf("altitude", { symbol: entry.unit })) : null;
  return altitude_m === null ? {} : { altitude_m };
}

/** A hold that is only looked at is shown in the units in which it was read last. */
function unitsOf(edit: Edit, form: HoldForm): UnitsInUse {
  if (edit.kind !== "look") return form.units;
  const shown = Object.entries(edit.hold.points.at(-1)?.typed ?? {}).flatMap(([name, { unit }]) => {
    const quantity = quantityOf(name, { calculation: form.calculation });
    return quantity ? [[quantity, unit]] : [];
  });
  return { system: form.units.system, shown: Object.fromEntries(shown) };
}
