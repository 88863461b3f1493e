/** The addresses of the sheet as the engine looks at them, and what it says of each unit. */
import type { UnitRow } from "../../../../local/rows";
import type { ReadingDraft } from "../../../parts/reading/entry";
import type { Result } from "../../../parts/reading/useLive";
import type { Inputs, Where } from "../../../parts/reading/useReading";
import { indoorUnits } from "../ports/sheet";

export type Kind = "group" | "central";
export const KINDS: Kind[] = ["group", "central"];
export type Scope = "system" | "site";

/** What is typed for one unit and not kept yet. */
export type Edit = { unitId: string; group: string; central: string };
export type Table = { scope: Scope; edit: Edit | null };

type Said = { kind: Kind; unit: string };
export type AddressesResult = Result & {
  duplicates: { kind: Kind; address: string; units: string[] }[];
  missing: Said[];
  out_of_range: (Said & { address: string })[];
  proposals: (Said & { address: number | null })[];
};

export const ADDRESS_OF = { group: "group_address", central: "central_address" } as const;
export const end = (kind: Kind, at: 0 | 1) => `${kind}_range[${at}]`;

/** Central addresses matter where something is there to use them. */
export function kindsOf({ view }: Where): Kind[] {
  const hasCentral = view.units.some(
    (unit) => unit.kind === "central_controller" || unit.central_address,
  );
  return hasCentral ? KINDS : ["group"];
}

/** Of the system, or of all; the unit that one stands before comes first. */
export function unitsFor(where: Where, { scope }: { scope: Scope }): UnitRow[] {
  const all =
    scope === "system"
      ? indoorUnits(where)
      : where.view.units.filter((unit) => unit.kind === "indoor_unit");
  return [...all].sort((a, b) => Number(b.id === where.unit?.id) - Number(a.id === where.unit?.id));
}

function rangeOf(kind: Kind, values: Record<string, number>) {
  const [low, high] = [values[end(kind, 0)], values[end(kind, 1)]];
  return low === undefined || high === undefined ? {} : { [`${kind}_range`]: [low, high] };
}

/** A range with one end only is not finished. */
export function isHalf(kind: Kind, values: Record<string, number>): boolean {
  return (values[end(kind, 0)] === undefined) !== (values[end(kind, 1)] === undefined);
}

export function addressInputs(
  values: Record<string, number>,
  { draft, where }: { draft: ReadingDraft<Table>; where: Where },
): Inputs | null {
  const kinds = kindsOf(where);
  const ranges = Object.assign({}, ...kinds.map((kind) => rangeOf(kind, values)));
  const units = unitsFor(where, draft.own);
  if (units.length === 0 || Object.keys(ranges).length === 0) return null;
  if (kinds.some((kind) => isHalf(kind, values))) return null;
  return {
    units: units.map((unit) => ({
      unit: unit.tag,
      ...(unit.group_address ? { group: unit.group_address } : {}),
      ...(unit.central_address ? { central: unit.central_address } : {}),
      system: where.view.systemById.get(unit.system_id ?? "")?.tag ?? "",
    })),
    ...ranges,
  };
}

export type Trouble = "twice" | "outside" | "missing";

/** What is wrong with each address, by unit and kind. */
export function troublesOf(result: AddressesResult | undefined) {
  const found = new Map<string, Trouble>();
  const put = (unit: string, kind: Kind, trouble: Trouble) => found.set(`${unit} ${kind}`, trouble);
  for (const one of result?.duplicates ?? []) {
    for (const unit of one.units) put(unit, one.kind, "twice");
  }
  for (const { unit, kind } of result?.out_of_range ?? []) put(unit, kind, "outside");
  for (const { unit, kind } of result?.missing ?? []) put(unit, kind, "missing");
  return (unit: string, kind: Kind) => found.get(`${unit} ${kind}`);
}

const LONGEST = 20;
/** An address is a number, or letters as a maker has them; nothing at all takes it away. */
export function isAddress(text: string): boolean {
  return text.trim().length <= LONGEST && /^[\p{L}\p{N} .-]*$/u.test(text.trim());
}

export function addressOrNull(text: string): string | null {
  return text.trim() || null;
}

/** What is typed against what the unit has: only what changes is written. */
export function changesOf(unit: UnitRow, edit: Edit) {
  const changes: { group_address?: string | null; central_address?: string | null } = {};
  for (const kind of KINDS) {
    const name = ADDRESS_OF[kind];
    const typed = addressOrNull(edit[kind]);
    if (typed !== (unit[name] || null)) changes[name] = typed;
  }
  return changes;
}
