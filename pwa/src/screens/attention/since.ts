/** What has become of a card's reason since it was told: what somebody sees goes to others, and comes back. */
import { session } from "../../local/session";
import type { AttentionItem } from "../../queries/attention";
import type { TextKey } from "../../text";
import type { Known } from "./field-words";

type Since = "job_again" | "job_away" | "list_again" | "list_away";
type Item = Pick<
  AttentionItem,
  "type" | "code" | "entity" | "fields" | "issue_number" | "job_name" | "told_in"
>;
type Words = { why?: TextKey; instead?: TextKey };

const WORDS: Record<Since, Words> = {
  job_again: { why: "attention.why.job_again" },
  job_away: { instead: "attention.instead.job_away" },
  list_again: { why: "attention.why.list_again" },
  list_away: { why: "attention.why.list_away", instead: "attention.instead.list_away" },
};

/** What is said in place of the reason and of what else there is to do; null where both are as on the first day. */
export function wordsSince(item: Item, known: Known): Words | null {
  const since = sinceThen(item, known);
  return since && WORDS[since];
}

function sinceThen(item: Item, { view }: Known): Since | null {
  const issueId = issueOf(item);
  if (session.value?.as === "link" && item.code === "not_found" && issueId) {
    return isListed(issueId, { view }) && hasLookedSince(item) ? "list_again" : "list_away";
  }
  if (!view && item.job_name !== undefined) return "job_away";
  if (item.code !== "no_access") return null;
  return view && hasLookedSince(item) ? "job_again" : "job_away";
}

/** Between the refusal and the next look at the server the rows that were taken away are still here. */
function hasLookedSince({ job_name, told_in }: Item): boolean {
  return job_name !== undefined || told_in !== undefined;
}

function isListed(id: string, { view }: Known): boolean {
  return view?.issueById.has(id) === true || view?.photos.some((photo) => photo.id === id) === true;
}

/** A contractor writes of issues only; of a mark only the photo is named. */
function issueOf({ type, entity, fields, issue_number }: Item): string | null {
  if (type.startsWith("issue.")) return entity;
  if (typeof fields["issue_id"] === "string") return fields["issue_id"];
  return issue_number === undefined ? null : entity;
}
