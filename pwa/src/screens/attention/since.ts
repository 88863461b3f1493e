/** What has become of a card's reason since it was told: access to a job ends, and comes back. */
import type { AttentionItem } from "../../queries/attention";
import type { Known } from "./field-words";

export type Since = "job_again" | "job_away";
type Item = Pick<AttentionItem, "code" | "job_name" | "told_in">;

/** Null where the reason is as good as on its first day. */
export function sinceThen(item: Item, { view }: Known): Since | null {
  if (item.code !== "no_access") return null;
  return view && hasLookedSince(item) ? "job_again" : "job_away";
}

/** Between the refusal and the next look at the server the rows of a job that was taken away are still here. */
function hasLookedSince({ job_name, told_in }: Item): boolean {
  return job_name !== undefined || told_in !== undefined;
}
