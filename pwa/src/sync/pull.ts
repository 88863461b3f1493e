/**
 * Brings what changed on the server. Each job's page is one strict transaction: rows, removals,
 * the overlay that the rows make superfluous, and the cursor. A stop at any point is harmless.
 */
import * as v from "valibot";
import { deviceIdOf } from "../local/device";
import type { BaseRecord } from "../local/records";
import type { Store } from "../local/store";
import { ask } from "./http";
import { fillGap } from "./lanes";
import type { Ended, Line } from "./line";
import { settlePhoto } from "./photo_state";
import { purgeIfNothingWaits } from "./purge";
import { isKnownTable, PullAnswer, type PulledJob } from "./shapes";

/** Rows of one page: a few hundred kilobytes, a second on a poor line (P). */
export const PAGE_ROWS = 1_000;

/** What was true when the request left: an answer without `more` covers all of it. */
type Asked = {
  device_id: string;
  /** Overlay that the server had acknowledged by then. */
  acknowledged: Set<number>;
};

export async function pull(line: Line): Promise<Ended> {
  const { store } = line;
  for (;;) {
    const asked: Asked = {
      device_id: await deviceIdOf(store),
      acknowledged: await acknowledgedNow(store),
    };
    const cursors = await store.cursors.filter((one) => !one.gone).toArray();
    const reply = await ask(line.wire, {
      method: "POST",
      path: "/api/sync/pull",
      json: {
        device_id: asked.device_id,
        cursors: cursors.map((one) => one.cursor),
        limit: PAGE_ROWS,
      },
    });
    if (reply.kind === "signed_out") {
      return "signed_out";
    }
    if (isCursorTrouble(reply)) {
      // A cursor that this server never gave: forget them all and read from the start.
      await store.cursors.clear();
      return "later";
    }
    const answer = reply.kind === "ok" ? v.safeParse(PullAnswer, reply.body) : undefined;
    if (!answer?.success) {
      return "later";
    }
    const { jobs, people_rev } = answer.output;
    for (const job of jobs) {
      await takeJob(store, { job, asked });
    }
    await dropWhereNothingChanged(store, { jobs, asked });
    if (!jobs.some((job) => job.more)) {
      await store.meta.put({ name: "people_rev", value: people_rev });
      return "done";
    }
  }
}

function isCursorTrouble(reply: Awaited<ReturnType<typeof ask>>): boolean {
  return reply.kind === "no" && "cursors" in reply.refusal.fields;
}

async function acknowledgedNow(store: Store): Promise<Set<number>> {
  return new Set(await store.overlay.filter((change) => change.rev !== null).primaryKeys());
}

type Taking = { job: PulledJob; asked: Asked };

async function takeJob(store: Store, { job, asked }: Taking): Promise<void> {
  if (job.state === "gone") {
    await markGone(store, job.job_id);
    await purgeIfNothingWaits(store, job.job_id);
    return;
  }
  if (job.state === "same") {
    return;
  }
  if (job.state === "reset" && !job.more) {
    await offerWhatTheServerLost(store, { job, asked });
  }
  await takeRows(store, { job, asked });
}

async function markGone(store: Store, job_id: string): Promise<void> {
  await store.transaction("rw", store.cursors, async () => {
    const known = await store.cursors.get(job_id);
    await store.cursors.put({ job_id, cursor: known?.cursor ?? null, gone: true });
  });
}

/**
 * A server that came back from a backup has an older lane than this phone: what it had acknowledged
 * beyond that goes back into the outbox, and what shows of it counts as unsent again.
 */
async function offerWhatTheServerLost(store: Store, { job, asked }: Taking): Promise<void> {
  const { job_id, last_seq } = job;
  await fillGap(store, { job_id, last_seq, device_id: asked.device_id });
  const waiting = new Set(await store.outbox.toCollection().primaryKeys());
  await store.overlay
    .where("job_id")
    .equals(job_id)
    .filter((change) => change.rev !== null && waiting.has(change.mutation_id))
    .modify({ rev: null });
}

async function takeRows(store: Store, { job, asked }: Taking): Promise<void> {
  const { rows, overlay, cursors, lanes, photos_full, uploads, attention } = store;
  const tables = [rows, overlay, cursors, lanes, photos_full, uploads, attention];
  await store.transaction("rw", tables, async () => {
    const { job_id } = job;
    if (job.state === "reset") {
      await rows.where("job_id").equals(job_id).delete();
    }
    const known = job.rows.filter((row): row is BaseRecord => isKnownTable(row.table));
    await rows.bulkPut(known);
    await rows.bulkDelete(
      job.removals.flatMap(({ table, id }): [BaseRecord["table"], string][] =>
        isKnownTable(table) ? [[table, id]] : [],
      ),
    );
    for (const photo of known.filter((row) => row.table === "photo")) {
      await settlePhoto(store, photo);
    }
    await cursors.put({ job_id, cursor: job.cursor, gone: false });
    await keepCount(store, job);
    if (!job.more) {
      await dropCovered(store, { job_id, asked });
    }
  });
}

/** A phone whose store was emptied goes on counting where the server stands. */
async function keepCount(store: Store, { job_id, last_seq }: PulledJob): Promise<void> {
  const counted = (await store.lanes.get(job_id))?.last_seq ?? 0;
  if (last_seq > counted) {
    await store.lanes.put({ job_id, last_seq });
  }
}

async function dropWhereNothingChanged(
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
