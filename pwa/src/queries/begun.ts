/** Half-written issues and answers: on this phone only, and on nobody's list before they are saved. */
import type { ReadonlySignal } from "@preact/signals";
import { factsIn } from "../local/draft_photos";
import { entryOf, photosKey } from "../local/drafts";
import { type Merged, readRows } from "../local/merge";
import type { DraftRecord } from "../local/records";
import type { IssueRow, TableName, UnitRow } from "../local/rows";
import type { Store } from "../local/store";
import { useLive } from "./live";

export type Begun = {
  key: string;
  job_id: string;
  job_name: string;
  /** The screen on which it goes on. */
  path: string;
  /** What an issue is logged at, or the issue that is answered, changed or closed is about. */
  unit: UnitRow | undefined;
  /** Undefined while a new one is logged. */
  issue: IssueRow | undefined;
  photos: number;
};

/** How the keys of what is begun on an issue begin (screens/issue, screens/answer-issue). */
const ON_ISSUE = ["answer", "answer_here", "change", "prove", "send_back", "accept"];

export function useBegun(): ReadonlySignal<Begun[] | undefined> {
  return useLive("begun", readBegun);
}

/**
 * What is about something that has left this phone is under "Needs your attention". Asked in three steps, each of
 * the store itself (readRows).
 */
export async function readBegun(store: Store): Promise<Begun[]> {
  const drafts = new Map((await store.drafts.toArray()).map((draft) => [draft.key, draft]));
  const keys = [...new Set([...drafts.keys()].map(entryOf))];
  const entries = keys.flatMap((key) => entryUnder(key, { drafts }));
  if (entries.length === 0) return [];
  const ids = entries.flatMap(({ issueId }) => issueId ?? []);
  const { issue: issues } = await readRows(store, keysOf("issue", ids));
  const placed = entries.flatMap((entry) => placedBy(entry, { issues }));
  const { job, unit } = await readRows(store, [
    ...keysOf(
      "job",
      placed.map(({ jobId }) => jobId),
    ),
    ...keysOf(
      "unit",
      placed.map(({ unitId }) => unitId),
    ),
  ]);
  return placed.flatMap((one) => toldOf(one, { job, unit }));
}

function keysOf(table: TableName, ids: string[]): [TableName, string][] {
  return [...new Set(ids)].map((id) => [table, id]);
}

type Entry = { key: string; photos: number; path: string; jobId?: string; unitId?: string } & {
  issueId?: string;
};
type Placed = Omit<Entry, "issueId" | "jobId" | "unitId"> & {
  jobId: string;
  unitId: string;
  issue?: IssueRow;
};
type Log = { unitId?: string | null; category?: string | null; words?: string };

function entryUnder(key: string, { drafts }: { drafts: Map<string, DraftRecord> }): Entry[] {
  const [kind = "", id = "", place = ""] = key.split(":");
  const photos = factsIn(drafts.get(photosKey(key))?.value).length;
  if (ON_ISSUE.includes(kind)) return [{ key, photos, path: "", issueId: id }];
  const value = (drafts.get(key)?.value ?? {}) as Log;
  const isTold = value.category || value.words?.trim() || photos > 0;
  if (kind !== "log" || !isTold) return [];
  const unitId = place === "any" ? (value.unitId ?? "") : place;
  const path = `/job/${id}/log${place === "any" ? "" : `?unit=${place}`}`;
  return [{ key, photos, path, jobId: id, unitId }];
}

function placedBy(
  { issueId, jobId, unitId = "", ...entry }: Entry,
  { issues }: { issues: IssueRow[] },
): Placed[] {
  if (jobId) return [{ ...entry, jobId, unitId }];
  const issue = issues.find(({ id }) => id === issueId);
  if (!issue) return [];
  const isLink = entry.key.startsWith("answer:");
  const path = isLink ? `/answer/issue/${issue.id}` : `/job/${issue.job_id}/issue/${issue.id}`;
  return [{ ...entry, path, jobId: issue.job_id, unitId: issue.unit_id ?? "", issue }];
}

function toldOf(
  { jobId, unitId, issue, ...begun }: Placed,
  { job, unit }: Pick<Merged, "job" | "unit">,
): Begun[] {
  const named = job.find(({ id }) => id === jobId);
  const at = unit.find(({ id }) => id === unitId);
  return named ? [{ ...begun, job_id: jobId, job_name: named.name, unit: at, issue }] : [];
}
