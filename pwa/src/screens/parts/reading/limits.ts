import { fromSi, type Quantity, unitOf } from "../../../format/units";
import type { LimitRow } from "../../../local/rows";
import type { JobView } from "../../../queries/job";
import { type Entry, known } from "./entry";

/** A row of the job's limits sheet. */
export function sheetLimit(name: string, { view }: { view: JobView }): LimitRow | undefined {
  return view.limits.find((one) => one.name === name);
}

/** A number of the sheet as it stands in a field, in a unit that people read. */
export function sheetEntry(si: number, quantity: Quantity, { symbol }: { symbol: string }): Entry {
  const unit = unitOf(quantity, { symbol });
  return known(Number(fromSi(si, unit).toPrecision(SHEET_DIGITS)), { unit: symbol });
}

/** More than any limit is given to. */
const SHEET_DIGITS = 6;

/**
 * A limit of the job's limits sheet as the engine takes it: its value, where it comes from and how
 * well it is founded. Nothing where the sheet has none: the engine then says what it took.
 */
export function limitInputs(
  name: string,
  { view, unit }: { view: JobView; unit: string },
): Record<string, unknown> {
  const limit = sheetLimit(`${name}_${unit}`, { view });
  if (!limit) return {};
  return {
    [`${name}_${unit}`]: limit.value,
    [`${name}_source`]: limit.source,
    [`${name}_mark`]: limit.mark,
  };
}
