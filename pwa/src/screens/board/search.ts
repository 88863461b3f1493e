import type { JobView } from "../../queries/job";

/** Everything about a job that a person might type to find it. */
export function searchTextOf({ job, units, issues }: JobView): string {
  const parts = [job.name, job.address, job.contractor_firm];
  for (const unit of units) parts.push(unit.tag);
  for (const issue of issues) parts.push(`${issue.number ?? ""} ${issue.words}`);
  return parts.join("\n").toLowerCase();
}

/** Every word typed must be found somewhere; the order does not matter. */
export function isFound(text: string, { query }: { query: string }): boolean {
  return query
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}
