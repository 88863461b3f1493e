/** What is typed into a form of a check, and what it means in SI. */
import { decimalSeparator } from "../../../format/entry";
import {
  carriedOver,
  type Quantity,
  siOf,
  type UnitSystem,
  unitAfter,
  unitOf,
  usualUnit,
} from "../../../format/units";
import type { Entered } from "../../../local/rows";

/**
 * A number as it was typed, with the unit it was typed in. It is stored like this; showing it in
 * another unit changes nothing about it. Shown in no unit of its own: in the person's usual one.
 */
export type Entry = { text: string; unit: string; shown: string };

export type ReadingDraft<Own extends object = object> = {
  /** By the engine's name of the field: `gauge_pa`, `lines[0].length_m`. */
  typed: Record<string, Entry>;
  /** Choices, by the engine's name too. */
  picked: Record<string, string>;
  /** Why an unusual value was kept. */
  reason: string;
  /** Ids of the instruments in use; null for those of the last time. */
  instruments: string[] | null;
  /** What only one form has. */
  own: Own;
};

export type Field = {
  name: string;
  /** As it stands on the screen. */
  label: string;
  /** Its name in the record, where the draft knows it by another one. */
  record?: string;
  quantity: Quantity;
  need?: "needed" | "optional";
  /** In SI. Outside of it a reason is asked for; only what the engine calls impossible is refused. */
  usual?: { low: number; high: number };
};

export type Pick = {
  name: string;
  label: string;
  options: readonly { value: string; label: string }[];
  need?: "needed" | "optional";
};

export function emptyDraft<Own extends object>(own: Own): ReadingDraft<Own> {
  return { typed: {}, picked: {}, reason: "", instruments: null, own };
}

/** A value that is known already, such as from the as-built sheet, with the unit it has there. */
export function known(value: number, { unit }: { unit: string }): Entry {
  return { text: String(value).replace(".", decimalSeparator()), unit, shown: "" };
}

export function entryFor(
  { name, quantity }: Field,
  { draft, system }: { draft: ReadingDraft; system: UnitSystem },
): Entry {
  const { symbol } = usualUnit(quantity, { system });
  const entry = draft.typed[name] ?? { text: "", unit: symbol, shown: "" };
  return { ...entry, shown: entry.shown || symbol };
}

/** Exactly what was typed while its own unit is shown, else the same value in the unit shown. */
export function shownText(
  { text, unit, shown }: Entry,
  { quantity }: { quantity: Quantity },
): string {
  if (unit === shown) return text;
  const from = unitOf(quantity, { symbol: unit });
  return carriedOver(text, { from, to: unitOf(quantity, { symbol: shown }) });
}

/** Typing replaces: from now on the unit shown is the unit typed in. */
export function typedAnew(entry: Entry, { text }: { text: string }): Entry {
  return { text, unit: entry.shown, shown: entry.shown };
}

export function inNextUnit(entry: Entry, { quantity }: { quantity: Quantity }): Entry {
  const shown = unitAfter(quantity, { symbol: entry.shown }).symbol;
  const isNumber = siOf(entry.text, unitOf(quantity, { symbol: entry.unit })) !== null;
  return isNumber ? { ...entry, shown } : { ...entry, unit: shown, shown };
}

export function isTyped({ name }: Field, { draft }: { draft: ReadingDraft }): boolean {
  return (draft.typed[name]?.text ?? "").trim() !== "";
}

/** The SI value of what was typed; null when nothing was, or when it is no number. */
export function siValueOf({ name, quantity }: Field, { draft }: { draft: ReadingDraft }) {
  const entry = draft.typed[name];
  return entry ? siOf(entry.text, unitOf(quantity, { symbol: entry.unit })) : null;
}

export function valuesOf(fields: Field[], { draft }: { draft: ReadingDraft }) {
  const values: Record<string, number> = {};
  for (const field of fields) {
    const value = siValueOf(field, { draft });
    if (value !== null) values[field.name] = value;
  }
  return values;
}

/** Fields that hold something which is not a number. */
export function wrongFields(fields: Field[], { draft }: { draft: ReadingDraft }): Field[] {
  return fields.filter(
    (field) => isTyped(field, { draft }) && siValueOf(field, { draft }) === null,
  );
}

export function unusualFields(fields: Field[], { draft }: { draft: ReadingDraft }): Field[] {
  return fields.filter((field) => {
    const value = siValueOf(field, { draft });
    if (value === null || !field.usual) return false;
    return value < field.usual.low || value > field.usual.high;
  });
}

/** What was typed and picked, as it was, for the record. */
export function enteredOf(
  fields: Field[],
  { draft, picks }: { draft: ReadingDraft; picks: Pick[] },
): Entered {
  const entered: Entered = {};
  for (const field of fields) {
    const entry = draft.typed[field.name];
    if (entry && isTyped(field, { draft })) {
      entered[field.record ?? field.name] = { text: entry.text, unit: entry.unit };
    }
  }
  for (const { name } of picks) {
    const text = draft.picked[name];
    if (text) entered[name] = { text, unit: "" };
  }
  return entered;
}
