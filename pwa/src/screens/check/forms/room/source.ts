/** Where the limit in the field comes from. */
import type { Entry, ReadingDraft } from "../../../parts/reading/entry";

type Typed = Pick<Entry, "text" | "unit">;

export type Sourced = {
  source: string;
  mark: string;
  /** The number that a table or the limits sheet gave; without it the source is the person's own words. */
  gave?: Typed | null;
  /** Of which refrigerant the table says so. */
  refrigerant?: string;
};

export const LIMIT = "limit_kg_m3";
export const UNSAID: Sourced = { source: "", mark: "M" };

/** A table answers for its own number only: once another one is typed, nobody has said where from. */
export function sourceOf({ typed, picked, own }: ReadingDraft<Sourced>): Sourced {
  const { gave, refrigerant } = own;
  const now = typed[LIMIT];
  const isOther = gave && (now?.text !== gave.text || now.unit !== gave.unit);
  const isOfOther = refrigerant !== undefined && refrigerant !== picked["refrigerant"];
  return isOther || isOfOther ? UNSAID : own;
}
