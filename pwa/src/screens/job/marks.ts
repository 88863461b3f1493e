import type { StepState } from "../../local/rows";

export type Mark = Exclude<StepState, "todo">;
export const MARKS: readonly Mark[] = ["done", "failed", "not_applicable"];
