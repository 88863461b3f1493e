/** What the as-built sheet knows that a check asks for. */
import type { SystemRow } from "../../../local/rows";

/** Refrigerants that the engine has tables for, as people write them. */
export const REFRIGERANTS = ["R-410A", "R-32", "R-454B", "R-407C", "R-134a"] as const;

const plain = (name: string) => name.toUpperCase().replace(/[^A-Z0-9]/g, "");

/** The refrigerant of the sheet as the engine names it, however it was typed there. */
export function refrigerantOf(system: SystemRow | undefined): string | null {
  const wanted = plain(system?.refrigerant ?? "");
  return REFRIGERANTS.find((one) => plain(one) === wanted) ?? null;
}
