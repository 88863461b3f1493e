import type * as v from "valibot";
import type { Answer } from "../local/result";
import { askCheckSheet, here } from "../sync/api";
import type { SheetAnswer } from "../sync/shapes";

export type CheckedSheet = v.InferOutput<typeof SheetAnswer>;
export type SheetError = CheckedSheet["errors"][number];

/**
 * Have an as-built sheet read and checked. Needs the network; writes nothing. With errors there are
 * no units: nothing is half-imported.
 */
export async function checkSheet(file: File): Promise<Answer<CheckedSheet>> {
  return await askCheckSheet(here("device"), file);
}
