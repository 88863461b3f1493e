/** What a curve shows, worked out before anything is drawn; values in the unit of the person. */
import { fromSi, type Unit } from "../../../../format/units";

/** A height that is the same at all times. */
export type Level = { kind: "limit" | "water"; value: number };

type Values = (number | null)[];

export type Drawing = {
  unit: string;
  at_s: number[];
  measured: Values;
  /** Expected of a tight circuit, or fitted to a vacuum. */
  line: Values;
  /** Nobody knows the temperature between two readings; a vacuum bends on its own. */
  join: "straight" | "smooth";
  /** Within it nothing can be told apart from the line. */
  band: { low: Values; high: Values } | null;
  levels: Level[];
  /** Levels too far off to be drawn: said in words. */
  beyond: Level[];
  low: number;
  high: number;
  from_s: number;
  to_s: number;
  /** Room for the numbers at the side. */
  axisPx: number;
};

/** One reading of a hold: what was read, what a tight circuit would show, and how sure that is. */
export type PressureLook = {
  at_s: number;
  gauge_pa: number;
  expected_pa: number | null;
  doubt_pa: number | null;
};
export type VacuumLook = { at_s: number; pressure_pa: number };

/** A level further off than this many heights of the picture would flatten the curve. */
const FAR_HEIGHTS = 1.2;
/** Air around the curve, as a share of it. */
const AIR = 0.12;
/** A hold of one reading has no width yet: an hour is shown. */
const LEAST_WIDTH_S = 3600;
const DIGIT_PX = 9;

export function drawPressure(looks: PressureLook[], { unit }: { unit: Unit }): Drawing {
  const own = (si: number) => fromSi(si, unit);
  const measured = looks.map((look) => own(look.gauge_pa));
  const line = looks.map((look) => orNull(look.expected_pa, own));
  const edge = (sign: 1 | -1): Values =>
    looks.map(({ expected_pa, doubt_pa }) =>
      expected_pa === null || doubt_pa === null ? null : own(expected_pa + sign * doubt_pa),
    );
  const band = { low: edge(-1), high: edge(1) };
  const at_s = looks.map((look) => look.at_s);
  return framed({ unit: unit.symbol, at_s, measured, line, join: "straight", band, levels: [] });
}

export function drawVacuum(
  looks: VacuumLook[],
  what: { fitted: VacuumLook[]; limit_pa: number; water_pa: number | null; unit: Unit },
): Drawing {
  const own = (si: number) => fromSi(si, what.unit);
  const fitted = new Map(what.fitted.map((look) => [look.at_s, own(look.pressure_pa)]));
  const read = new Map(looks.map((look) => [look.at_s, own(look.pressure_pa)]));
  const at_s = [...new Set([...read.keys(), ...fitted.keys()])].sort((a, b) => a - b);
  const levels: Level[] = [{ kind: "limit", value: own(what.limit_pa) }];
  if (what.water_pa !== null) levels.push({ kind: "water", value: own(what.water_pa) });
  return framed({
    unit: what.unit.symbol,
    at_s,
    measured: at_s.map((at) => read.get(at) ?? null),
    line: at_s.map((at) => fitted.get(at) ?? null),
    join: "smooth",
    band: null,
    levels,
  });
}

type Bare = Pick<Drawing, "unit" | "at_s" | "measured" | "line" | "join" | "band" | "levels">;

/** Around everything that is drawn, with some air. Far levels are left out and said instead. */
function framed(bare: Bare): Drawing {
  const curve = numbers(bare.measured, bare.line, bare.band?.low ?? [], bare.band?.high ?? []);
  const limit = bare.levels.filter((level) => level.kind === "limit");
  const core = [...curve, ...limit.map((level) => level.value)];
  const height = Math.max(...core) - Math.min(...core);
  const isNear = ({ value }: Level) =>
    value <= Math.max(...core) + FAR_HEIGHTS * height &&
    value >= Math.min(...core) - FAR_HEIGHTS * height;
  const levels = bare.levels.filter(isNear);
  const shown = [...core, ...levels.map((level) => level.value)];
  const [least, most] = [Math.min(...shown), Math.max(...shown)];
  // A gauge that stands still is a flat line in the middle, not one at the edge.
  const air = Math.max((most - least) * AIR, Math.abs(most) * 0.002, 1e-6);
  return {
    ...bare,
    levels,
    beyond: bare.levels.filter((level) => !isNear(level)),
    low: least - air,
    high: most + air,
    ...width(bare.at_s),
    axisPx: 18 + DIGIT_PX * labelLength(most + air, { height: most - least + 2 * air }),
  };
}

/** Half a time of day is wider than the room right of the picture: so near its end it would be cut off. */
const CUT = 0.05;

export function isCut(at_s: number, { from_s, to_s }: Pick<Drawing, "from_s" | "to_s">): boolean {
  return to_s - at_s < CUT * (to_s - from_s);
}

function width(at_s: number[]): { from_s: number; to_s: number } {
  const first = at_s[0] ?? 0;
  const last = Math.max(at_s.at(-1) ?? 0, first + LEAST_WIDTH_S);
  const air = (last - first) * 0.03;
  return { from_s: first - air, to_s: last + air };
}

/** Five steps fit; one of 2.5 has a decimal more than those of 2 and 5. */
const HIGHEST_WITH_DECIMALS = 12.5;

/** Numbers at the side have about as many decimals as tell their steps apart. */
function labelLength(most: number, { height }: { height: number }): number {
  const decimals = Math.max(0, Math.ceil(-Math.log10(height / HIGHEST_WITH_DECIMALS)));
  const whole = Math.max(1, Math.floor(Math.log10(Math.max(1, Math.abs(most)))) + 1);
  return whole + Math.floor((whole - 1) / 3) + (decimals > 0 ? decimals + 1 : 0);
}

function orNull(si: number | null, own: (si: number) => number): number | null {
  return si === null ? null : own(si);
}

function numbers(...lists: Values[]): number[] {
  return lists.flat().filter((value): value is number => value !== null);
}
