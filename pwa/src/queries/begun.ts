/** Half-written issues and answers: on this phone only, and on nobody's list before they are saved. */
import type { ReadonlySignal } from "@preact/signals";
import { factsIn } from "../local/draft_photos";
import { entryOf, photosKey } from "../local/drafts";
import { readRow } from "../local/merge";
import type { DraftRecord } from "../local/records";
import type { IssueRow, UnitRow } from "../local/rows";
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

/** What is about something that has left this phone is under "Needs your attention". */
export async function readBegun(store: Store): Promise<Begun[]> {
  const drafts = new Map((await store.drafts.toArray()).map((draft) => [draft.key, draft]));
  const keys = [...new Set([...drafts.keys()].map(entryOf))];
  if (keys.length === 0) return [];
  // All at once, so that a live query follows each.
  const found = await Promise.all(keys.map((key) => begunUnder(store, { key, drafts })));
  return found.filter((one) => one !== undefined);
}

type Entry = { key: string; drafts: Map<string, DraftRecord> };
type Log = { unitId?: string | null; category?: string | null; words?: string };

async function begunUnder(store: Store, { key, drafts }: Entry): Promise<Begun | undefined> {
  const [kind = "", id = "", place = ""] = key.split(":");
  const value = (drafts.get(key)?.value ?? {}) as Log;
  const photos = factsIn(drafts.get(photosKey(key))?.value).length;
  if (kind === "log") {
    const isTold = value.category || value.words?.trim() || photos > 0;
    const unitId = place === "any" ? (value.unitId ?? "") : place;
    const path = `/job/${id}/log${place === "any" ? "" : `?unit=${place}`}`;
    return isTold ? await toldOf(store, { key, jobId: id, unitId, path, photos }) : undefined;
  }
  const issue = ON_ISSUE.includes(kind) ? await readRow(store, { table: "issue", id }) : undefined;
  if (!issue) return undefined;
  const { job_id: jobId, unit_id } = issue;
  const path = kind === "answer" ? `/answer/issue/${id}` : `/job/${jobId}/issue/${id}`;
  return await toldOf(store, { key, jobId, unitId: unit_id ?? "", path, photos, issue });
}

type Told = { key: string; jobId: string; unitId: string; path: string; photos: number };

async function toldOf(
  store: Store,
  { jobId, unitId, issue, ...begun }: Told & { issue?: IssueRow },
): Promise<Begun | undefined> {
  const [job, unit] = await Promise.all([
    readRow(store, { table: "job", id: jobId }),
    readRow(store, { table: "unit", id: unitId }),
  ]);
  return job && { ...begun, job_id: jobId, job_name: job.name, unit, issue };
}
