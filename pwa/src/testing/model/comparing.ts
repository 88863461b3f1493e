/** Rows, and whether two sets of them are the same, field by field. */
import { Buffer } from "node:buffer";
import { createHash } from "node:crypto";
import type { BaseRecord } from "../../local/records";
import type { Device } from "./device.ts";
import type { Asker } from "./server.ts";

export type Row = BaseRecord;
type Pulled = { jobs: { rows: Row[]; cursor: string | null; more: boolean }[] };

/** All that the server would give a new phone of this person. */
export async function readPull(ask: Asker, device: Device): Promise<Row[]> {
  const rows: Row[] = [];
  let cursors: (string | null)[] = [];
  for (;;) {
    const said = { device_id: device.owner.device_id, cursors, limit: 2_000, v: 1 };
    const { status, body } = await ask({
      who: device,
      method: "POST",
      path: "/api/sync/pull",
      headers: { "X-Flarenut-As": "device", "Content-Type": "application/json" },
      body: Buffer.from(JSON.stringify(said)),
    });
    if (status !== 200) {
      throw new Error(`the server gives no rows: ${status}`);
    }
    const { jobs }: Pulled = JSON.parse(body.toString());
    rows.push(...jobs.flatMap((job) => job.rows));
    if (!jobs.some((job) => job.more)) {
      return rows;
    }
    cursors = jobs.map((job) => job.cursor);
  }
}

/** One line for each row, in the order of their ids. */
function linesOf(rows: Row[]): string[] {
  return rows
    .map(({ table, id, job_id, rev, fields }) =>
      JSON.stringify([table, id, job_id, rev, inOrder(fields)]),
    )
    .toSorted();
}

export function sumOf(rows: Row[]): string {
  return createHash("sha256").update(linesOf(rows).join("\n")).digest("hex");
}

export function firstDifference(ours: Row[], theirs: Row[]): string {
  const [here, there] = [linesOf(ours), linesOf(theirs)];
  const only = (some: string[], others: string[]) => some.find((line) => !others.includes(line));
  return `here ${only(here, there)}, there ${only(there, here)}`;
}

/** The same object, whatever order its fields came in. */
function inOrder(value: unknown): unknown {
  if (Array.isArray(value)) {
    return value.map(inOrder);
  }
  if (!(value instanceof Object)) {
    return value;
  }
  return Object.entries(value)
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, inner]) => [name, inOrder(inner)]);
}
