/**
 * The rule of holds that run by the clock: pressure hold and standing vacuum.
 *
 * 1. Each reading of a hold is recorded the moment it is made, as one reading of the calculation
 *    with all readings so far. It replaces the one before; the first replaces none and begins the hold.
 * 2. What leads back to one first reading is one hold, also where two phones went on with it at the
 *    same time: the newest speaks for it, and readings that only the other has are not lost.
 * 3. The last hold begun on a system is the one that counts. Beginning anew leaves the one before
 *    in the record, and it runs no longer.
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
  /** True where the tip lacks what another phone added: it is worked out anew. */
  isMerged: boolean;
  state: HoldState;
  startedAt: string;
  /** When it was written down first, which decides what the last hold is. */
  begunAt: string;
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
  const rows = view.readings.filter(
    (row) => row.calculation === calculation && row.system_id === systemId && row.unit_id === null,
  );
  return chainsOf(rows)
    .map((chain) => holdOf(chain, calculation))
    .sort((a, b) => begun(b).localeCompare(begun(a)));
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
    .sort((a, b) => a.startedAt.localeCompare(b.startedAt));
}

const begun = (hold: Hold) => `${hold.begunAt} ${hold.tip.id}`;

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

function holdOf(rows: ReadingRow[], calculation: Timed): Hold {
  const replaced = new Set(rows.map((row) => row.replaces_id));
  const tips = rows
    .filter((row) => !replaced.has(row.id))
    .sort((a, b) => `${b.taken_at} ${b.id}`.localeCompare(`${a.taken_at} ${a.id}`));
  const tip = tips[0] ?? (rows.at(-1) as ReadingRow);
  const others = tips.slice(1);
  const missing = missingPoints(tip, { others, rows });
  const points = inOrder([...pointsOf(tip), ...missing]);
  return {
    calculation,
    systemId: tip.system_id,
    tip,
    ids: new Set(rows.map((row) => row.id)),
    points,
    isMerged: missing.length > 0,
    state: missing.length > 0 ? "running" : stateOf(tip),
    startedAt: points[0]?.at ?? tip.taken_at,
    begunAt: rows.map((row) => row.taken_at).sort()[0] ?? tip.taken_at,
  };
}

/** What the other phone added. What was taken out on the way to the tip stays out. */
function missingPoints(
  tip: ReadingRow,
  { others, rows }: { others: ReadingRow[]; rows: ReadingRow[] },
): Point[] {
  const byId = new Map(rows.map((row) => [row.id, row]));
  const seen = new Set(
    ancestors(tip, byId).flatMap((row) => pointsOf(row).map((point) => point.id)),
  );
  const missing = new Map<string, Point>();
  for (const point of others.flatMap(pointsOf)) {
    if (!seen.has(point.id) && !missing.has(point.id)) missing.set(point.id, point);
  }
  return [...missing.values()];
}

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
