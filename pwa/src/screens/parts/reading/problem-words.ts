import { formatQuantity } from "../../../format/number";
import { formatIn, unitOf } from "../../../format/units";
import { hasText, t } from "../../../text";
import type { EngineError } from "../../../trade/types";
import type { Entry, Field } from "./entry";
import { quantityOf, type UnitsInUse, valueWords } from "./value-words";

export type OnScreen = {
  fields: Field[];
  entryOf: (field: Field) => Entry;
  calculation: string;
  units: UnitsInUse;
};

/** A field that is not on the screen, such as one that the as-built sheet fills. */
function nameOf(
  field: string,
  { known, calculation }: { known?: Field | undefined; calculation: string },
) {
  const key = [`field.${calculation}.${field}`, `field.${field}`].find(hasText);
  return known?.label ?? (key ? t(key) : field.replaceAll("_", " "));
}

/** The limit of a value that the screen works out itself, such as an absolute pressure. */
function limitWords(
  field: string,
  si: number,
  { unit, calculation, units }: { unit: string; calculation: string; units: UnitsInUse },
): string {
  if (quantityOf(field, { calculation })) return valueWords(field, si, { calculation, units });
  return formatQuantity(si, { significant: 4, unit });
}

/** What the engine cannot judge, with the field as it stands on the screen and in its unit. */
export function problemWords(
  { code, field, limits }: EngineError,
  { fields, entryOf, calculation, units }: OnScreen,
): string {
  const known = fields.find((one) => one.name === field);
  const name = nameOf(field, { known, calculation });
  // A field that the sheet fills, said in the words of its check: of a list, whichever row it is.
  const ofSheet = `problem.${calculation}.${field.replaceAll(/\[\d+\]/g, "")}`;
  if (limits && hasText(ofSheet)) return t(ofSheet, { low: limits.low, high: limits.high });
  // Where there are no limits to tell, a calculation may mean something else by the same code.
  const own = `problem.${calculation}.${code}${limits ? "" : ".without_limits"}`;
  if (hasText(own)) return t(own, { name });
  if (code === "out_of_range" && limits) {
    const show = (si: number) => {
      if (!known) return limitWords(field, si, { unit: limits.unit, calculation, units });
      const unit = unitOf(known.quantity, { symbol: entryOf(known).shown });
      return formatIn(si, { quantity: known.quantity, unit });
    };
    return t("problem.out_of_range", { name, low: show(limits.low), high: show(limits.high) });
  }
  const key = `problem.${code}`;
  return hasText(key) ? t(key, { name }) : t("problem.not_a_number", { name });
}
