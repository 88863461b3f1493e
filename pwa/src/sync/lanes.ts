/**
 * The numbers of a lane when phone and server do not agree on them: a cloned phone, a server that
 * came back from last night's backup, a mutation that no request can carry. Mutations keep their
 * ids through all of it; only their place in the lane changes.
 */
import { becomeNewDevice } from "../local/device";
import type { OutboxRecord } from "../local/records";
import type { Store } from "../local/store";
import { attentionOf } from "./receipts";

/** Another phone uses this phone's id. This one becomes a new device and counts from 1 again. */
export async function renumberAll(store: Store): Promise<void> {
  await store.transaction("rw", store.meta, store.outbox, store.lanes, async () => {
    await becomeNewDevice(store);
    for (const job_id of await store.lanes.toCollection().primaryKeys()) {
      await renumber(store, { job_id, after: 0 });
    }
  });
}

/** Inside a transaction: what is unsent after `after` counts densely from there, in its old order. */
async function renumber(store: Store, { job_id, after }: { job_id: string; after: number }) {
  const waiting = await unsentAfter(store, { job_id, after });
  await store.outbox.bulkUpdate(
    waiting.map(({ id }, place) => ({ key: id, changes: { seq: after + 1 + place } })),
  );
  await store.lanes.put({ job_id, last_seq: after + waiting.length });
}

async function unsentAfter(
  store: Store,
  { job_id, after }: { job_id: string; after: number },
): Promise<OutboxRecord[]> {
  return await store.outbox
    .where("[job_id+seq]")
    .between([job_id, after], [job_id, Number.POSITIVE_INFINITY], false, true)
    .toArray();
}

type Gap = { job_id: string; last_seq: number; device_id: string };

/**
 * The server knows this lane only up to `last_seq`. What it once acknowledged beyond that is offered
 * again under the same ids; where nothing fills the gap, the unsent ones move up. Answers whether
 * there is something new to send.
 */
export async function fillGap(store: Store, gap: Gap): Promise<boolean> {
  return await store.transaction("rw", store.outbox, store.lanes, store.receipts, async () => {
    const lost = await store.receipts
      .where("job_id")
      .equals(gap.job_id)
      .filter((one) => one.device_id === gap.device_id && one.seq > gap.last_seq)
      .toArray();
    await store.outbox.bulkPut(lost.map((one) => one.mutation));
    await store.receipts.bulkDelete(lost.map((one) => one.id));
    const isDense = await isDenseAfter(store, gap);
    if (!isDense) {
      await renumber(store, { job_id: gap.job_id, after: gap.last_seq });
    }
    return lost.length > 0 || !isDense;
  });
}

async function isDenseAfter(store: Store, { job_id, last_seq }: Gap): Promise<boolean> {
  // What is numbered up to there has reached the server and only waits for its receipt.
  const waiting = await unsentAfter(store, { job_id, after: last_seq });
  return waiting.every((mutation, place) => mutation.seq === last_seq + 1 + place);
}

/** Take one mutation out of its lane because no request can carry it; keep it for its author. */
export async function setAsideHere(
  store: Store,
  { mutation, code }: { mutation: OutboxRecord; code: string },
): Promise<void> {
  const tables = [store.outbox, store.lanes, store.overlay, store.attention];
  await store.transaction("rw", tables, async () => {
    await store.outbox.delete(mutation.id);
    await store.overlay.where("mutation_id").equals(mutation.id).delete();
    await store.attention.put(
      attentionOf({ outcome: "set_aside", detail: { code, message: "" } }, mutation),
    );
    await renumber(store, { job_id: mutation.job_id, after: mutation.seq - 1 });
  });
}
