/**
 * The rule of holds that run by the clock: pressure hold and standing vacuum.
 *
 * 1. Each reading of a hold is recorded the moment it is made, as one reading of the calculation
 *    with all readings so far. It replaces the one before; the first replaces none and begins the hold.
 * 2. What leads back to one first reading is one hold, also where two phones went on with it at the
 *    same time: the one made last speaks for it, and readings that only the other has are not lost.
 * 3. The last hold begun on a system is the one that counts. Beginning anew leaves the one before
 *    in the record, and it runs no longer. What is last is as the server took it (`made.ts`): two
 *    phones' clocks do not say it. Within a hold, one clock measures what time has passed.
 * 4. It runs until its verdict is pass or fail, or until somebody ends it. Only pass and fail settle
 *    the step: a hold that is too short is unclear, and so is one that was ended.
 * 5. A mistake is corrected by a reading that replaces, like any other. A hold that was settled may
 *    so be running again.
 *
 * All of it follows from the recorded readings, so it survives the app being closed and is the same
 * on every phone.
 */
import type { ReadingRow } from "../local/rows";
import type { JobView } from "./job";
import { inOrderMade } from "./made";

export const TIMED = ["pressure_hold", "vacuum_stand"] as const;
export type Timed = (typeof TIMED)[number];

/** The step of the start-up sequence that each of them settles. */
export const STEP_OF: Record<Timed, string> = {
  pressure_hold: "pressure_hold",
  vacuum_stand: "standing_vacuum",
};

/** One look at the gauge, within a hold. */
export type Point = {
  /** Stays the same when it is corrected. */
  id: string;
  at: string;
  /** "typed" where a person gave the time, such as for a reading made on paper. */
  clock: "phone" | "typed";
  by: string;
  /** By the engine's name; in SI, and as typed. */
  si: Record<string, number>;
  typed: Record<string, { text: string; unit: string }>;
};

export type HoldState = "running" | "passed" | "failed" | "ended";

export type Hold = {
  calculation: Timed;
  systemId: string | null;
  /** The reading that speaks for it. */
  tip: ReadingRow;
  /** All its recorded readings, replaced ones as well. */
  ids: Set<string>;
  /** In the order of time. */
  points: Point[];
  /** True where another phone added something, or took it out, and the tip does not say so: it is worked out anew. */
  isMerged: boolean;
  state: HoldState;
  startedAt: string;
  /** Among all readings the place of the one that began it, which decides what the last hold is. */
  begun: number;
};

/** How the parts of a point are named in the record, beside what was typed. */
export const OF_POINT = ["id", "at", "clock", "by"] as const;
/** In the record of a hold that somebody ended: why. */
export const ENDED = "ended";

/** Every hold of a calculation on a system, the last one begun first. */
export function holdsOf(
  calculation: Timed,
  { view, systemId }: { view: Pick<JobView, "readings">; systemId: string | null },
): Hold[] {
  const all = inOrderMade(view.readings);
  const rows = all.filter(
    (row) => row.calculation === calculation && row.system_id === systemId && row.unit_id === null,
  );
  return chainsOf(rows)
    .map((chain) => ({ ...holdOf(chain, calculation), begun: all.indexOf(chain[0] as ReadingRow) }))
    .sort((a, b) => b.begun - a.begun);
}

/** The hold that counts, running or not. */
export function lastHold(
  calculation: Timed,
  where: { view: Pick<JobView, "readings">; systemId: string | null },
): Hold | undefined {
  return holdsOf(calculation, where)[0];
}

/** All holds of a job that run now, the oldest first. */
export function runningHolds(view: Pick<JobView, "readings" | "systems">): Hold[] {
  const systems = [null, ...view.systems.map((system) => system.id)];
  return TIMED.flatMap((calculation) =>
    systems.flatMap((systemId) => lastHold(calculation, { view, systemId }) ?? []),
  )
    .filter((hold) => hold.state === "running")
    .sort((a, b) => a.begun - b.begun);
}

/** Readings that lead back to one first reading; that one may be on the server still. */
function chainsOf(rows: ReadingRow[]): ReadingRow[][] {
  const byId = new Map(rows.map((row) => [row.id, row]));
  const chains = new Map<string, ReadingRow[]>();
  for (const row of rows) {
    const oldest = ancestors(row, byId).at(-1) ?? row;
    const first = oldest.replaces_id ?? oldest.id;
    chains.set(first, [...(chains.get(first) ?? []), row]);
  }
  return [...chains.values()];
}

/** Itself and what it replaced, back to the first. */
function ancestors(row: ReadingRow, byId: Map<string, ReadingRow>): ReadingRow[] {
  const found = new Set<ReadingRow>();
  let at: ReadingRow | undefined = row;
  while (at && !found.has(at)) {
    found.add(at);
    at = at.replaces_id ? byId.get(at.replaces_id) : undefined;
  }
  return [...found];
}

function holdOf(rows: ReadingRow[], calculation: Timed): Omit<Hold, "begun"> {
  const replaced = new Set(rows.map((row) => row.replaces_id));
  const tips = rows.filter((row) => !replaced.has(row.id)).reverse();
  const tip = tips[0] ?? (rows.at(-1) as ReadingRow);
  const points = mergedPoints(tip, { tips, rows });
  const isMerged = idsOf(points) !== idsOf(inOrder(pointsOf(tip)));
  return {
    calculation,
    systemId: tip.system_id,
    tip,
    ids: new Set(rows.map((row) => row.id)),
    points,
    isMerged,
    state: isMerged ? "running" : stateOf(tip),
    startedAt: points[0]?.at ?? tip.taken_at,
  };
}

/** What each phone added. What one of them took out stays out, whichever came last. */
function mergedPoints(
  tip: ReadingRow,
  { tips, rows }: { tips: ReadingRow[]; rows: ReadingRow[] },
): Point[] {
  const byId = new Map(rows.map((row) => [row.id, row]));
  const out = new Set(tips.flatMap((one) => takenOut(one, byId)));
  const kept = new Map<string, Point>();
  for (const point of [tip, ...tips].flatMap(pointsOf)) {
    if (!out.has(point.id) && !kept.has(point.id)) kept.set(point.id, point);
  }
  return inOrder([...kept.values()]);
}

/** By id: what stood in what it replaced, and stands in it no more. */
function takenOut(tip: ReadingRow, byId: Map<string, ReadingRow>): string[] {
  const here = new Set(pointsOf(tip).map((point) => point.id));
  const before = ancestors(tip, byId).flatMap(pointsOf);
  return before.map((point) => point.id).filter((id) => !here.has(id));
}

const idsOf = (points: Point[]) => JSON.stringify(points.map((point) => point.id));

function stateOf(tip: ReadingRow): HoldState {
  if (tip.entered[ENDED]) return "ended";
  if (tip.verdict === "pass") return "passed";
  return tip.verdict === "fail" ? "failed" : "running";
}

export function inOrder(points: Point[]): Point[] {
  return [...points].sort((a, b) => a.at.localeCompare(b.at));
}

type Given = { t_s: number } & Record<string, number>;

/** The points of a recorded reading; what came without moments of its own has them from its end. */
export function pointsOf(row: ReadingRow): Point[] {
  const given = (row.inputs["readings"] ?? []) as Given[];
  const end_s = given.at(-1)?.t_s ?? 0;
  return given.map(({ t_s, ...si }, at) => {
    const said = (name: string) => row.entered[`readings[${at}].${name}`];
    const moment = Date.parse(row.taken_at) - (end_s - t_s) * 1000;
    return {
      id: said("id")?.text ?? `${row.id} ${at}`,
      at: said("at")?.text ?? new Date(moment).toISOString(),
      clock: said("clock")?.text === "typed" ? "typed" : "phone",
      by: said("by")?.text ?? row.by_name,
      si,
      typed: Object.fromEntries(
        Object.keys(si).flatMap((name) => {
          const entry = said(name);
          return entry ? [[name, entry]] : [];
        }),
      ),
    };
  });
}
