/** From what is typed to the record of a hold: its readings with the new one among them. */
import { siOf, unitOf } from "../../../../format/units";
import { session } from "../../../../local/session";
import { uuid7 } from "../../../../local/uuid7";
import type { Point } from "../../../../queries/holds";
import type { JobView } from "../../../../queries/job";
import { enteredOf, type ReadingDraft } from "../../../parts/reading/entry";
import type { Inputs } from "../../../parts/reading/useReading";
import { asksReading, draftName, type Edit, othersOf } from "./edit";
import type { HoldKind } from "./kind";
import type { Moment } from "./moment";
import { type HoldRecord, placed, recordOf, type Setup, setupFor, withPoint } from "./record";

export type OwnOfHold = {
  /** The typed time of the reading with this name; none where the phone's clock is taken. */
  times: Record<string, { date: string; time: string }>;
};
export type HoldDraft = ReadingDraft<OwnOfHold>;

export type Typed = {
  edit: Edit;
  kind: HoldKind;
  values: Record<string, number>;
  draft: HoldDraft;
  view: JobView;
  moment: Moment | null;
  /** What the air weighs at an altitude; null while it is worked out. */
  barometerAt: (values: Record<string, number>) => number | null;
};

/** Null while something is wanted still. */
export function typedRecord(typed: Typed): HoldRecord | null {
  const points = typedPoints(typed);
  if (!points) return null;
  const setup = setupOfTyped(typed, points);
  const aired = withBarometer(points, setup, typed);
  return aired && recordOf(aired, setup);
}

export function setupOfTyped(typed: Typed, points: Point[]): Setup {
  const { edit } = typed;
  const isTyped = edit.kind === "begin" || edit.kind === "set_up";
  return isTyped ? typedSetup(typed) : setupFor(edit.hold, points);
}

function typedSetup({ kind, values, draft, view }: Typed): Setup {
  const fields = kind.setup(draft);
  const picks = kind.picks?.(view) ?? [];
  const si: Inputs = {};
  for (const { name } of fields) {
    if (values[name] !== undefined && !kind.onlyTyped?.includes(name)) si[name] = values[name];
  }
  return {
    si: { ...si, ...kind.more?.(draft, { values, view }) },
    typed: enteredOf(fields, { draft, picks }),
  };
}

/** All readings of the hold with the one that is typed now among them. */
export function typedPoints(typed: Typed): Point[] | null {
  const { edit, moment } = typed;
  if (!asksReading(edit)) return othersOf(edit);
  if (!moment) return null;
  return withPoint(othersOf(edit), typedPoint(typed, moment));
}

function typedPoint({ edit, kind, values, draft }: Typed, moment: Moment): Point {
  const name = draftName(edit);
  const si: Point["si"] = {};
  const entered: Point["typed"] = {};
  for (const field of kind.reading([])) {
    const value = values[placed(name, field.name)];
    const entry = draft.typed[placed(name, field.name)];
    if (value === undefined || !entry) continue;
    si[field.name] = value;
    entered[field.name] = { text: entry.text, unit: entry.unit };
  }
  const by = edit.kind === "correct" ? edit.point.by : (session.value?.name ?? "");
  return {
    id: edit.kind === "correct" ? edit.point.id : uuid7(),
    ...moment,
    by,
    si,
    typed: entered,
  };
}

/**
 * Where a barometer was read it counts alone; else the one of the altitude stands for all readings.
 * The two are never mixed: that would look like weather. Null while that one is worked out.
 */
function withBarometer(
  points: Point[],
  { typed }: Setup,
  { kind, barometerAt }: Typed,
): Point[] | null {
  const isRead = points.some((point) => point.typed["barometer_pa"]);
  if (isRead || !kind.reading([]).some((field) => field.name === "barometer_pa")) return points;
  const entry = typed["altitude_m"];
  const altitude_m = entry ? siOf(entry.text, unitOf("altitude", { symbol: entry.unit })) : null;
  const usual = altitude_m === null ? null : barometerAt({ altitude_m });
  if (altitude_m !== null && usual === null) return null;
  return points.map(({ si: { barometer_pa: _, ...si }, ...point }) => ({
    ...point,
    si: usual === null ? si : { ...si, barometer_pa: usual },
  }));
}
