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
export type Table = {
  scope: Scope;
  /** One for each unit that is open: another one that is opened takes nothing away. */
  edits: Edit[];
  /** Central addresses are typed though the sheet has none yet. */
  central: "asked" | "as_on_sheet";
};

type Said = { kind: Kind; unit: string };
export type AddressesResult = Result & {
  duplicates: { kind: Kind; address: string; units: string[] }[];
  missing: Said[];
  out_of_range: (Said & { address: string })[];
  proposals: (Said & { address: number | null })[];
};

export const ADDRESS_OF = { group: "group_address", central: "central_address" } as const;
export const end = (kind: Kind, at: 0 | 1) => `${kind}_range[${at}]`;

/** Central addresses matter where something is there to use them, or where somebody says so. */
export function kindsOf({ view }: Where, { own, typed }: ReadingDraft<Table>): Kind[] {
  const hasCentral = view.units.some(
    (unit) => unit.kind === "central_controller" || unit.central_address,
  );
  const isTyped = ([0, 1] as const).some((at) => typed[end("central", at)]?.text);
  return hasCentral || isTyped || own.central === "asked" ? KINDS : ["group"];
}

/** Of the system, or of all; the unit that one stands before comes first. */
export function unitsFor(where: Where, { scope }: { scope: Scope }): UnitRow[] {
  const all =
    scope === "system"
      ? indoorUnits(where)
      : where.view.units.filter((unit) => unit.kind === "indoor_unit");
  return [...all].sort((a, b) => Number(b.id === where.unit?.id) - Number(a.id === where.unit?.id));
}

/** What is looked at, and below it whatever is open still: nothing typed is out of sight. */
export function unitsShown(where: Where, own: Table): UnitRow[] {
  const units = unitsFor(where, own);
  const open = editsOf(own).map((edit) => where.view.unitById.get(edit.unitId));
  return [...units, ...open.flatMap((unit) => (unit && !units.includes(unit) ? [unit] : []))];
}

/** A draft of an earlier version of the app had one at most. */
export function editsOf({ edits, edit }: Table & { edit?: Edit | null }): Edit[] {
  return edits ?? (edit ? [edit] : []);
}

export function asOnSheet(unit: UnitRow): Edit {
  return {
    unitId: unit.id,
    group: unit.group_address ?? "",
    central: unit.central_address ?? "",
  };
}

/** One more unit is open; those in which nothing was changed close. */
export function opened(edits: Edit[], unit: UnitRow, { view }: Pick<Where, "view">): Edit[] {
  const isChanged = (edit: Edit) => {
    const of = view.unitById.get(edit.unitId);
    return of !== undefined && Object.keys(changesOf(of, edit)).length > 0;
  };
  return [...edits.filter(isChanged), asOnSheet(unit)];
}

export function closed(edits: Edit[], { unitId }: { unitId: string }): Edit[] {
  return edits.filter((edit) => edit.unitId !== unitId);
}

function rangeOf(kind: Kind, values: Record<string, number>) {
  const [low, high] = [values[end(kind, 0)], values[end(kind, 1)]];
  return low === undefined || high === undefined ? {} : { [`${kind}_range`]: [low, high] };
}

/** A range with one end only is not finished. */
export function isHalf(kind: Kind, values: Record<string, number>): boolean {
  return (values[end(kind, 0)] === undefined) !== (values[end(kind, 1)] === undefined);
}

const tagOfSystem = (unit: UnitRow, { view }: Pick<Where, "view">) =>
  view.systemById.get(unit.system_id ?? "")?.tag ?? "";

/** Central addresses are one set for the whole site: what other systems have is taken. */
function othersOf(where: Where, units: UnitRow[]) {
  return unitsFor(where, { scope: "site" })
    .filter((unit) => unit.central_address && !units.includes(unit))
    .map((unit) => ({
      unit: unit.tag,
      central: unit.central_address,
      system: tagOfSystem(unit, where),
    }));
}

export function addressInputs(
  values: Record<string, number>,
  { draft, where }: { draft: ReadingDraft<Table>; where: Where },
): Inputs | null {
  const kinds = kindsOf(where, draft);
  const ranges = Object.assign({}, ...kinds.map((kind) => rangeOf(kind, values)));
  const units = unitsFor(where, draft.own);
  if (units.length === 0 || Object.keys(ranges).length === 0) return null;
  if (kinds.some((kind) => isHalf(kind, values))) return null;
  const others = othersOf(where, units);
  return {
    units: units.map((unit) => ({
      unit: unit.tag,
      ...(unit.group_address ? { group: unit.group_address } : {}),
      ...(unit.central_address ? { central: unit.central_address } : {}),
      system: tagOfSystem(unit, where),
    })),
    ...(others.length > 0 ? { others } : {}),
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
