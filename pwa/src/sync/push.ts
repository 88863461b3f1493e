/**
 * Sends what waits in the outbox, lane by lane and in order, and stores what the server says of
 * each mutation. Nothing leaves the outbox by any other way than its receipt.
 */
import * as v from "valibot";
import { bytesIn } from "../local/bytes";
import { deviceIdOf } from "../local/device";
import type { Mutation, OutboxRecord } from "../local/records";
import type { Store } from "../local/store";
import type { Reply } from "./http";
import { isStillMine } from "./identity";
import { fillGap, renumberAll, setAsideHere } from "./lanes";
import type { Line, Outcome } from "./line";
import { storeReceipts } from "./receipts";
import { PushAnswer, type PushedLane } from "./shapes";
import { keepAsking } from "./silence";

/** The server takes at most 100 mutations and 1 MB in one request (sync rules). */
export const BATCH_MUTATIONS = 100;
/** What a poor line carries within 19 s; a hundred small changes are less. A mutation that is larger goes alone. (P) */
const BATCH_BYTES = 76_000;

/**
 * How many the line carried of late: half as many after a push that nothing was heard of, for a cellar
 * where a full one never gets through in time; twice as many after each that was answered.
 */
const carried = new WeakMap<Store, number>();

type Batch = { job_id: string; mutations: OutboxRecord[] }[];
/** What a lane's answer means: something moved, try again soon, or keep it and go on. */
type Moved = "moved" | "later" | "kept";
/** Lanes that this round leaves alone. */
type Resting = Map<string, Exclude<Moved, "moved">>;
/** Of one push: how many go in a request, and whether one has been set aside already. */
type Round = { limit: number; resting: Resting; hasSetAside: boolean };

export async function push(line: Line): Promise<Outcome> {
  const resting: Resting = new Map();
  const round: Round = { limit: BATCH_MUTATIONS, resting, hasSetAside: false };
  for (;;) {
    const most = carried.get(line.store) ?? BATCH_MUTATIONS;
    const batch = await nextBatch(line.store, { limit: Math.min(round.limit, most), resting });
    if (batch.length === 0) {
      return [...resting.values()].includes("later") ? "partly" : "done";
    }
    const device_id = await deviceIdOf(line.store);
    const reply = await keepAsking(line.wire, {
      method: "POST",
      path: "/api/sync/push",
      json: { device_id, lanes: batch.map(asLane) },
    });
    if (reply.kind === "signed_out") {
      return "signed_out";
    }
    if (reply.kind === "later" && reply.isSilent) {
      carried.set(line.store, half(batch));
      return "later";
    }
    carried.set(line.store, Math.min(BATCH_MUTATIONS, most * 2));
    const refused = refusedAsWhole(reply);
    if (refused) {
      await shrink(line.store, { batch, refused, round });
      continue;
    }
    const answer = reply.kind === "ok" ? v.safeParse(PushAnswer, reply.body) : undefined;
    if (!answer?.success) {
      return "later";
    }
    const { lanes } = answer.output;
    if (lanes.some((lane) => lane.error?.code === "device_cloned")) {
      // Either a copied phone, or the cookie is somebody else's by now: then nothing may be sent.
      const mine = await isStillMine(line);
      if (mine !== "mine") {
        return mine;
      }
    }
    await settle(line.store, { batch, lanes, device_id, resting });
    if (resting.size > 0) {
      round.limit = Math.min(BATCH_MUTATIONS, round.limit * 2);
    }
  }
}

/** In order of seq within a lane; a lane that must rest is left out so that others go on. */
async function nextBatch(
  store: Store,
  { limit, resting }: { limit: number; resting: Resting },
): Promise<Batch> {
  const jobs = (await store.lanes.toCollection().primaryKeys()).filter((id) => !resting.has(id));
  const batch: Batch = [];
  let room = limit;
  let left = BATCH_BYTES;
  for (const job_id of jobs) {
    const waiting = await laneOf(store, { job_id, limit: room });
    const mutations: OutboxRecord[] = [];
    for (const mutation of waiting) {
      left -= bytesIn(JSON.stringify(asSent(mutation)));
      if (left < 0 && batch.length + mutations.length > 0) {
        break;
      }
      mutations.push(mutation);
    }
    room -= mutations.length;
    if (mutations.length > 0) {
      batch.push({ job_id, mutations });
    }
    if (room <= 0 || left < 0) {
      break;
    }
  }
  return batch;
}

async function laneOf(
  store: Store,
  { job_id, limit }: { job_id: string; limit: number },
): Promise<OutboxRecord[]> {
  return await store.outbox
    .where("[job_id+seq]")
    .between([job_id, 0], [job_id, Number.POSITIVE_INFINITY])
    .limit(limit)
    .toArray();
}

function asLane({ job_id, mutations }: Batch[number]) {
  return {
    job_id,
    mutations: mutations.map(asSent),
  };
}

function asSent(waiting: OutboxRecord): Mutation {
  const { job_id: _lane, written: _here, again: _offered, ...mutation } = waiting;
  return mutation;
}

/** Without a code where a proxy between says it: that tells how much it carries, and nothing of a mutation. */
type Refused = { code: string | null };

/** The request itself was not understood, or was too large: one mutation in it is to blame. */
function refusedAsWhole(reply: Reply): Refused | undefined {
  if (reply.kind === "too_large") {
    return { code: reply.isOurs ? "too_large" : null };
  }
  const isMalformed = reply.kind === "no" && (reply.status === 400 || reply.status === 422);
  return isMalformed && reply.isOurs ? { code: reply.refusal.code } : undefined;
}

type Shrinking = { batch: Batch; refused: Refused; round: Round };

/**
 * Half as many next time. A single one that cannot travel must not stop its lane; but where a bad deployment
 * refuses everything, no outbox must turn into cards: at most one a round, and only what was told the same before.
 */
async function shrink(store: Store, { batch, refused, round }: Shrinking): Promise<void> {
  round.limit = half(batch);
  const [lane] = batch;
  const [alone] = lane?.mutations ?? [];
  if (countOf(batch) > 1 || !lane || !alone) {
    return;
  }
  const isTold = isToldAgain(store, { id: alone.id, refused });
  if (isTold && refused.code && !round.hasSetAside) {
    await setAsideHere(store, { mutation: alone, code: refused.code });
    round.hasSetAside = true;
    round.limit = BATCH_MUTATIONS;
  } else {
    round.resting.set(lane.job_id, "later");
  }
}

/** What was said last of each mutation that was refused alone; a lane rests after it, so once in a round. */
const told = new WeakMap<Store, Map<string, string | null>>();

function isToldAgain(store: Store, { id, refused }: { id: string; refused: Refused }): boolean {
  const last = told.get(store) ?? new Map<string, string | null>();
  const isAgain = last.get(id) === refused.code;
  told.set(store, last.set(id, refused.code));
  return isAgain;
}

const countOf = (batch: Batch) => batch.reduce((sum, lane) => sum + lane.mutations.length, 0);
const half = (batch: Batch) => Math.ceil(countOf(batch) / 2);

type Settling = { batch: Batch; lanes: PushedLane[]; device_id: string; resting: Resting };

async function settle(store: Store, { batch, lanes, device_id, resting }: Settling): Promise<void> {
  for (const { job_id } of batch) {
    const lane = lanes.find((one) => one.job_id === job_id);
    const moved = lane ? await settleLane(store, { lane, device_id }) : "later";
    if (moved !== "moved") {
      resting.set(job_id, moved);
    }
    if (lane?.error?.code === "device_cloned") {
      // Every lane has been renumbered: what else this answer says belongs to the old device.
      return;
    }
  }
}

async function settleLane(
  store: Store,
  { lane, device_id }: { lane: PushedLane; device_id: string },
): Promise<Moved> {
  const { job_id, last_seq, receipts, error } = lane;
  const stored = await storeReceipts(store, { job_id, receipts, device_id });
  if (error?.code === "device_cloned") {
    await renumberAll(store);
    return "moved";
  }
  if (error?.code === "seq_gap") {
    return (await fillGap(store, { job_id, last_seq, device_id })) ? "moved" : "later";
  }
  if (stored > 0) {
    return "moved";
  }
  // No hurry where access is lost: the work is kept and offered again at the next ordinary round.
  return error?.code === "no_access" ? "kept" : "later";
}
