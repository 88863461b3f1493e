/** What a change is about, by the names that people know: kept with its card, for when the rows have gone. */
import { readRow } from "../local/merge";
import type { AttentionRecord } from "../local/records";
import type { Store } from "../local/store";

type About = Pick<AttentionRecord, "entity" | "fields">;
export type Called = Pick<AttentionRecord, "issue_number" | "unit_tag">;

/** Inside a transaction that covers rows and overlay. Empty where the phone has no names for it. */
export async function calledOn(store: Store, { entity, fields }: About): Promise<Called> {
  const photo = await readRow(store, { table: "photo", id: entity });
  const issueId = fields["issue_id"] ?? photo?.issue_id ?? entity;
  const issue = await readRow(store, { table: "issue", id: String(issueId) });
  const stepId = String(fields["step_id"] ?? entity);
  const step = await readRow(store, { table: "step", id: stepId });
  const unitId = issue?.unit_id ?? fields["unit_id"] ?? photo?.unit_id ?? step?.unit_id ?? entity;
  const unit = await readRow(store, { table: "unit", id: String(unitId) });
  return {
    ...(issue?.number ? { issue_number: issue.number } : {}),
    ...(unit ? { unit_tag: unit.tag } : {}),
  };
}
