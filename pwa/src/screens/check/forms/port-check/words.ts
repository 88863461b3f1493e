/** What a port check found, in words. */
import { t } from "../../../../text";
import type { Result } from "../../../parts/reading/useLive";
import type { NextRound } from "./rounds";

export type Found = {
  unit: string;
  port: string | null;
  kind: "own" | "other" | "shared" | "silent" | "not_measured";
  clear: boolean;
  rival: string | null;
  answer_k: number | null;
};
export type ReadResult = Result & { assignment: Found[]; next_round: NextRound | null };

/** "on the port of L2-04" */
export function whereWords({ kind, port }: Found): string {
  return t(`port_check.is_${kind}`, { port: port ?? "" });
}

/** How sure, where something was measured. */
export function sureWords({ kind, clear, rival }: Found): string | null {
  if (kind === "not_measured") return null;
  if (clear) return t("port_check.sure");
  return rival === null
    ? t("port_check.not_sure")
    : t("port_check.not_sure_rival", { port: rival });
}

/** What is odd comes first, then what is not sure; the rest as in the plan. */
export function oddFirst(assignment: Found[]): Found[] {
  const rank = ({ kind, clear }: Found) => (kind !== "own" ? 0 : clear ? 2 : 1);
  return [...assignment].sort((a, b) => rank(a) - rank(b));
}
