/** The liquid lines of a charge while they are typed. */
import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import { type Entry, type Field, known, type ReadingDraft } from "../../../parts/reading/entry";
import type { Inputs, Where } from "../../../parts/reading/useReading";

/** A size of the engine's table, or a tube of its own: outer diameter and wall. */
export const OWN_SIZE = "own";
export type Line = { size: string; label: string };
export type Lines = { lines: Line[] };
type Draft = ReadingDraft<Lines>;

export const EMPTY_LINE: Line = { size: "", label: "" };

const at = (index: number, name: string) => `lines[${index}].${name}`;

export function lineName({ label }: Line, { index }: { index: number }): string {
  return label || t("extra_charge.line", { number: index + 1 });
}

/** Longer single lines are rather a slip, or the sum of several (P). */
const USUAL_LENGTH = { low: 0.3, high: 200 };

export function lineFields(line: Line, { index }: { index: number }): Field[] {
  const name = lineName(line, { index });
  const length: Field = {
    name: at(index, "length_m"),
    label: t("extra_charge.length", { name }),
    quantity: "length",
    usual: USUAL_LENGTH,
  };
  if (line.size !== OWN_SIZE) return [length];
  const outer = t("extra_charge.outer", { name });
  const wall = t("extra_charge.wall", { name });
  return [
    { name: at(index, "outer_diameter_m"), label: outer, quantity: "short_length" },
    { name: at(index, "wall_m"), label: wall, quantity: "short_length" },
    length,
  ];
}

/** What the size is called: of the table, or what was typed of its own tube. */
export function sizeOf(draft: Draft, index: number): string {
  const size = draft.own.lines[index]?.size ?? "";
  if (size !== OWN_SIZE) return size;
  const [outer, wall] = ["outer_diameter_m", "wall_m"].map((name) => draft.typed[at(index, name)]);
  if (!outer || !wall) return "";
  const one = outer.unit === wall.unit ? outer.text : `${outer.text} ${outer.unit}`;
  return `${one} x ${wall.text} ${wall.unit}`;
}

/** One factor for each size that is used. */
export function factorFields(draft: Draft): Field[] {
  const sizes = draft.own.lines.map((_, index) => sizeOf(draft, index)).filter(Boolean);
  return [...new Set(sizes)].map((size) => ({
    name: `factors_kg_m.${size}`,
    label: t("extra_charge.factor", { size }),
    quantity: "mass_per_length",
    need: "optional",
    usual: { low: 0.01, high: 2 },
  }));
}

/** Lines and factors as the engine takes them. */
export function lineInputs(values: Record<string, number>, draft: Draft): Inputs {
  const lines = draft.own.lines.map((line, index) => {
    const length_m = values[at(index, "length_m")];
    if (line.size !== OWN_SIZE) return { size: line.size, length_m };
    const outer_diameter_m = values[at(index, "outer_diameter_m")];
    const wall_m = values[at(index, "wall_m")];
    return { size: sizeOf(draft, index), outer_diameter_m, wall_m, length_m };
  });
  const factors = Object.entries(values).filter(([name]) => name.startsWith("factors_kg_m."));
  if (factors.length === 0) return { lines };
  const named = factors.map(([name, value]) => [name.slice("factors_kg_m.".length), value]);
  return { lines, factors_kg_m: Object.fromEntries(named) };
}

/** What was said of each line in words, beside its numbers. */
export function lineEntries({ own }: Draft): Record<string, { text: string; unit: string }> {
  return Object.fromEntries(
    own.lines.map((line, index) => [
      at(index, "size"),
      { text: `${lineName(line, { index })}: ${line.size}`, unit: "" },
    ]),
  );
}

/** The lines after it move up, with what was typed for them. */
export function withoutLine(draft: Draft, index: number): Pick<Draft, "typed" | "own"> {
  const typed: Record<string, Entry> = {};
  for (const [name, entry] of Object.entries(draft.typed)) {
    const of = /^lines\[(\d+)\]\.(.+)$/.exec(name);
    const place = of ? Number(of[1]) : -1;
    if (place === index) continue;
    typed[place > index ? at(place - 1, of?.[2] ?? "") : name] = entry;
  }
  return { typed, own: { lines: draft.own.lines.filter((_, one) => one !== index) } };
}

const hasLength = (unit: UnitRow): unit is UnitRow & { line_length_m: number } =>
  typeof unit.line_length_m === "number";

/** How many boxes, joints and modules lie between a unit and where the sheet begins. */
function depthOf(unit: UnitRow, { view }: Pick<Where, "view">): number {
  const passed = new Set([unit.id]);
  let above = unit.parent_id;
  while (above !== null && !passed.has(above)) {
    passed.add(above);
    above = view.unitById.get(above)?.parent_id ?? null;
  }
  return passed.size;
}

/**
 * The sheet knows what the lines lead to, and where somebody wrote it down their sizes and lengths
 * too; then a joint counts as well. In order from the outdoor module: the length that is in the
 * charge already comes off the first ones.
 */
export function linesOfSheet({ view, system }: Where): Pick<Draft, "typed" | "own"> {
  const mine = view.units.filter((unit) => unit.system_id === system?.id);
  const leadsTo = (unit: UnitRow) =>
    unit.kind === "branch_box" || unit.kind === "indoor_unit" || hasLength(unit);
  const depth = (unit: UnitRow) => depthOf(unit, { view });
  const units = mine.filter(leadsTo).sort((a, b) => depth(a) - depth(b));
  const typed: Record<string, Entry> = {};
  units.forEach((unit, index) => {
    if (hasLength(unit)) typed[at(index, "length_m")] = known(unit.line_length_m, { unit: "m" });
  });
  const lines = units.map(({ tag, line_size }) => ({
    size: line_size ?? "",
    label: t("extra_charge.to", { tag }),
  }));
  return { typed, own: { lines } };
}
