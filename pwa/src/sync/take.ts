/**
 * What one answer says of one job goes into the store. Each page is one strict transaction: rows,
 * removals, the overlay that the rows make superfluous, and the cursor. A stop at any point is harmless.
 */
import { isDiskFull } from "../local/disk";
import { countFrom } from "../local/lane";
import { type BaseRecord, type CursorRecord, isLeftOver, resetUnderWay } from "../local/records";
import type { Store } from "../local/store";
import { uuid7 } from "../local/uuid7";
import { isEnded } from "./ended";
import { tellOfRemoved } from "./ended_drafts";
import { offerAgain } from "./lanes";
import { letGoOfPhoto, letGoOfUnseenPhotos, settlePhoto } from "./photo_state";
import { purgeIfNothingWaits } from "./purge";
import { isKnownTable, type PulledJob } from "./shapes";

/** What was true when the request left: an answer without `more` covers all of it. */
export type Asked = {
  device_id: string;
  /** Overlay that the server had acknowledged by then. */
  acknowledged: Set<number>;
};

export async function acknowledgedNow(store: Store): Promise<Set<number>> {
  return new Set(await store.overlay.filter((change) => change.rev !== null).primaryKeys());
}

export type Taking = { job: PulledJob; asked: Asked };

export async function takeJob(store: Store, { job, asked }: Taking): Promise<void> {
  if (job.state === "gone") {
    if ((await isMadeHere(store, job.job_id)) && !(await isEnded(store))) {
      // Whoever made a job sees it for as long as they are of the company: this server came back from a backup of before that.
      await offerWhatTheServerLost(store, { job, asked });
    }
    await markGone(store, job.job_id);
    await purgeIfNothingWaits(store, job.job_id);
    return;
  }
  if (job.state === "same") {
    return;
  }
  await inTheRoomOfStored(store, {
    jobs: [job],
    work: async () => {
      if (job.state === "reset") {
        // At its first page, however many follow: a stop between them must not lose what is offered again.
        await offerWhatTheServerLost(store, { job, asked });
      }
      await takeRows(store, { job, asked });
    },
  });
}

type InTheRoom = { jobs: PulledJob[]; work: () => Promise<void> };

/** On a full phone, where it has no room, it may have that of photos of which the answer says that they are stored. */
export async function inTheRoomOfStored(store: Store, { jobs, work }: InTheRoom): Promise<void> {
  try {
    await work();
  } catch (problem) {
    if (!isDiskFull(problem)) {
      throw problem;
    }
    await letGoOfStored(
      store,
      jobs.flatMap(({ rows }) => rows),
    );
    await work();
  }
}

async function letGoOfStored(store: Store, rows: PulledJob["rows"]): Promise<void> {
  const stored = rows.filter(
    ({ table, fields }) => table === "photo" && fields["state"] === "stored",
  );
  const ids = stored.map((photo) => photo.id);
  await store.transaction("rw", store.photos_full, store.uploads, async () => {
    await store.photos_full.bulkDelete(ids);
    await store.uploads.bulkDelete(ids);
  });
}

/**
 * After the last page every job in sight has its cursor. What lies here without one was forgotten in
 * between (all is read anew) and is not told as gone, since nobody asked for it.
 */
export async function forgetUnseen(store: Store, asked: Asked): Promise<void> {
  const cursors = await store.cursors.toArray();
  const isSaid = (one: CursorRecord) => one.gone || one.cursor !== null;
  const said = new Set(cursors.filter(isSaid).map((one) => one.job_id));
  const here = new Set([
    ...(await store.rows.orderBy("job_id").uniqueKeys()).map(String),
    ...cursors.map((one) => one.job_id),
  ]);
  for (const job_id of [...here].filter((id) => !said.has(id))) {
    await takeJob(store, { job: { ...GONE, job_id }, asked });
  }
  await letGoOfUnseenPhotos(store);
}

const GONE: Omit<PulledJob, "job_id"> = {
  state: "gone",
  rows: [],
  removals: [],
  cursor: null,
  more: false,
  last_seq: 0,
};

async function isMadeHere(store: Store, job_id: string): Promise<boolean> {
  const receipts = store.receipts.where("job_id").equals(job_id);
  return (await receipts.filter((one) => one.mutation.type === "job.create").count()) > 0;
}

async function markGone(store: Store, job_id: string): Promise<void> {
  await store.transaction("rw", store.cursors, async () => {
    const known = await store.cursors.get(job_id);
    await store.cursors.put({ ...known, job_id, cursor: known?.cursor ?? null, gone: true });
  });
}

/**
 * A server that came back from a backup has an older lane than this phone: what it had acknowledged
 * beyond that goes back into the outbox, and what shows of it counts as unsent again.
 */
async function offerWhatTheServerLost(store: Store, { job, asked }: Taking): Promise<void> {
  const { job_id, last_seq } = job;
  await offerAgain(store, { job_id, last_seq, device_id: asked.device_id });
  const waiting = new Set(await store.outbox.toCollection().primaryKeys());
  await store.overlay
    .where("job_id")
    .equals(job_id)
    .filter((change) => change.rev !== null && waiting.has(change.mutation_id))
    .modify({ rev: null });
}

async function takeRows(store: Store, { job, asked }: Taking): Promise<void> {
  const { rows, overlay, cursors, lanes, attention, receipts, outbox } = store;
  const photos = [store.photos_full, store.uploads, store.thumbs];
  // Only where rows may go: whoever types meanwhile is not to wait for a page of rows.
  const begun = (await mayTakeRowsAway(store, job)) ? [store.drafts, store.ended_drafts] : [];
  const tables = [rows, overlay, cursors, lanes, attention, receipts, outbox, ...photos, ...begun];
  await store.transaction("rw", tables, async () => {
    const { job_id, cursor, more } = job;
    const known = await cursors.get(job_id);
    const { reset: _until, reset_at: _here, ...before } = known ?? {};
    const reset = job.state === "reset" ? uuid7() : resetUnderWay(known);
    const brought = job.rows
      .filter((row): row is BaseRecord => isKnownTable(row.table))
      .map((row) => (reset ? { ...row, reset } : row));
    await rows.bulkPut(brought);
    await remove(store, job);
    for (const photo of brought.filter((row) => row.table === "photo")) {
      await settlePhoto(store, photo);
    }
    const goesOn = reset && more ? { reset, reset_at: cursor } : {};
    await cursors.put({ ...before, ...goesOn, job_id, cursor, gone: false });
    await keepCount(store, job);
    if (!more) {
      await dropLeftOver(store, { job_id, reset });
      await dropCovered(store, { job_id, asked });
    }
  });
}

/**
 * With the last page of a reset: what none of its pages brought, the server does not have. Until then such rows
 * stay, so that a reset which is cut takes no job away. Their revisions say nothing: a server that came back from
 * a backup counts from a lower one.
 */
async function dropLeftOver(
  store: Store,
  { job_id, reset }: { job_id: string; reset: string | undefined },
): Promise<void> {
  if (reset) {
    const ofTheJob = store.rows.where("job_id").equals(job_id);
    const left = await ofTheJob.filter((row) => isLeftOver(row, reset)).primaryKeys();
    if (left.length > 0) {
      await tellOfRemoved(store, { job_id, rows: left });
      await store.rows.bulkDelete(left);
    }
  }
}

async function mayTakeRowsAway(store: Store, { job_id, removals, ...page }: PulledJob) {
  const isReset = page.state === "reset" || resetUnderWay(await store.cursors.get(job_id));
  return removals.length > 0 || (isReset && !page.more);
}

/** Rows that this person may no longer see; what they had begun about them is told. */
async function remove(store: Store, { job_id, removals }: PulledJob): Promise<void> {
  const left = removals.flatMap(({ table, id }): [BaseRecord["table"], string][] =>
    isKnownTable(table) ? [[table, id]] : [],
  );
  if (left.length > 0) {
    await tellOfRemoved(store, { job_id, rows: left });
    await store.rows.bulkDelete(left);
  }
  for (const { id } of removals.filter(({ table }) => table === "photo")) {
    await letGoOfPhoto(store, id);
  }
}

/** A phone whose store was emptied goes on counting where the server stands. */
async function keepCount(store: Store, { job_id, last_seq }: PulledJob): Promise<void> {
  const counted = (await store.lanes.get(job_id))?.last_seq ?? 0;
  if (last_seq > counted) {
    await countFrom(store, job_id, last_seq);
  }
}

export async function dropWhereNothingChanged(
  store: Store,
  { jobs, asked }: { jobs: PulledJob[]; asked: Asked },
): Promise<void> {
  if (asked.acknowledged.size === 0) {
    return;
  }
  const told = new Set(jobs.filter((job) => job.state !== "same").map((job) => job.job_id));
  await store.transaction("rw", store.overlay, async () => {
    for (const job_id of await store.overlay.orderBy("job_id").uniqueKeys()) {
      if (!told.has(String(job_id))) {
        await dropCovered(store, { job_id: String(job_id), asked });
      }
    }
  });
}

/** What the rows now say themselves need not be laid over them any more. */
async function dropCovered(
  store: Store,
  { job_id, asked }: { job_id: string; asked: Asked },
): Promise<void> {
  await store.overlay
    .where("job_id")
    .equals(job_id)
    .filter((change) => change.rev !== null && asked.acknowledged.has(change.n))
    .delete();
}
