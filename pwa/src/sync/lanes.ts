/**
 * The numbers of a lane when phone and server do not agree on them: a cloned phone, a server that
 * came back from last night's backup, a mutation that no request can carry. Mutations keep their
 * ids through all of it; only their place in the lane changes.
 */
import { becomeNewDevice, deviceIdOf } from "../local/device";
import { byWriting, countFrom } from "../local/lane";
import type { OutboxRecord, ReceiptRecord } from "../local/records";
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

/** Inside a transaction: what is unsent after `after` counts densely from there, in the order in which it was written. */
async function renumber(store: Store, { job_id, after }: { job_id: string; after: number }) {
  const waiting = await unsentAfter(store, { job_id, after });
  await store.outbox.bulkUpdate(
    waiting.map((one, place) => ({ key: one.id, changes: placeOf(one, after + 1 + place) })),
  );
  await countFrom(store, job_id, after + waiting.length);
}

/** Its old number says when what an older app wrote was written, for as long as that is not dealt anew. */
function placeOf({ seq, written = seq }: OutboxRecord, dealt: number) {
  return { seq: dealt, written };
}

async function unsentAfter(
  store: Store,
  { job_id, after }: { job_id: string; after: number },
): Promise<OutboxRecord[]> {
  const waiting = await store.outbox
    .where("[job_id+seq]")
    .between([job_id, after], [job_id, Number.POSITIVE_INFINITY], false, true)
    .toArray();
  return waiting.toSorted(byWriting);
}

type Gap = { job_id: string; last_seq: number; device_id: string };

/**
 * The server knows this lane only up to `last_seq`. What it once acknowledged beyond that is offered
 * again under the same ids; where nothing fills the gap, the unsent ones move up. Answers whether
 * there is something new to send.
 */
export async function fillGap(store: Store, gap: Gap): Promise<boolean> {
  const isLost = (one: Numbered) => one.device_id === gap.device_id && one.seq > gap.last_seq;
  return await offer(store, { gap, isLost });
}

/**
 * The job was read anew, maybe from a server that came back from a backup. As above, and also what
 * this phone sent under a device id that it no longer has: nobody can say any more how much of that
 * the server still knows, and what it knows it answers as before.
 */
export async function offerAgain(store: Store, gap: Gap): Promise<boolean> {
  return await offer(store, { gap, isLost: isBeyond(gap) });
}

/**
 * The server is another one than before: all that this phone ever sent is offered, since a copy of this phone may
 * have used the same numbers. Only what they say is lost is shown as unsent again: the rest would lie over what
 * others wrote since. Of a job out of sight nobody tells how far the server stands; where that is less far than is
 * thought here, it says so.
 */
export async function offerAll(
  store: Store,
  { last_seq, ...lane }: Omit<Gap, "last_seq"> & { last_seq: number | undefined },
): Promise<void> {
  await store.transaction("rw", tablesOf(store), async () => {
    const counted = (await store.lanes.get(lane.job_id))?.last_seq ?? 0;
    const waiting = await unsentAfter(store, { job_id: lane.job_id, after: 0 });
    const gap = { ...lane, last_seq: last_seq ?? counted - waiting.length };
    await offer(store, { gap, isLost: () => true, isShown: isBeyond(gap) });
  });
}

type Numbered = Pick<ReceiptRecord, "device_id" | "seq">;

const isBeyond = (gap: Gap) => (one: Numbered) =>
  one.device_id !== gap.device_id || one.seq > gap.last_seq;

type Which = (one: Numbered) => boolean;
type Offer = { gap: Gap; isLost: Which; isShown?: Which };

function tablesOf({ outbox, lanes, receipts, overlay, uploads }: Store) {
  return [outbox, lanes, receipts, overlay, uploads];
}

async function offer(store: Store, { gap, isLost, isShown = isLost }: Offer): Promise<boolean> {
  const { receipts, overlay, uploads, outbox } = store;
  return await store.transaction("rw", tablesOf(store), async () => {
    const known = await receipts.where("job_id").equals(gap.job_id).filter(isLost).toArray();
    // What was refused and its author has dealt with is not said again.
    const lost = known.filter((one) => !one.is_dealt_with);
    const isMoved = await queue(store, { gap, lost: asTheyWereSent(lost, gap.device_id) });
    await receipts.bulkDelete(known.map((one) => one.id));
    // With what an earlier server was offered, still had, and was not asked again before it came back.
    const waiting = await outbox
      .where("[job_id+seq]")
      .between([gap.job_id, 0], [gap.job_id, Number.POSITIVE_INFINITY])
      .toArray();
    const offered = [...lost, ...waiting.flatMap(({ again }) => again ?? [])];
    const shown = offered.filter(isShown).flatMap((one) => one.shown);
    await overlay.bulkPut(shown.map((row) => ({ ...row, rev: null })));
    for (const { mutation } of lost.filter((one) => one.mutation.type === "photo.add")) {
      await uploads.update(mutation.entity, { uploaded_at: null });
    }
    return isMoved;
  });
}

/**
 * As they were written here. Of what comes from elsewhere their numbers say it under one device id, whatever clocks
 * did meanwhile; the ids follow each other, and what was sent as another device came before all that was sent as
 * this one.
 */
function asTheyWereSent(lost: ReceiptRecord[], device_id: string): ReceiptRecord[] {
  const began = new Map<string, string>();
  for (const one of lost.toSorted((a, b) => b.stored_at.localeCompare(a.stored_at))) {
    began.set(one.device_id, one.stored_at);
  }
  const rank = (one: ReceiptRecord) =>
    `${Number(one.device_id === device_id)} ${began.get(one.device_id)} ${one.device_id}`;
  return lost.toSorted(
    (a, b) => writtenAs(a) - writtenAs(b) || rank(a).localeCompare(rank(b)) || a.seq - b.seq,
  );
}

/** What was lost, and what is unsent, densely from where the server stands. */
async function queue(
  store: Store,
  { gap: { job_id, last_seq }, lost }: { gap: Gap; lost: ReceiptRecord[] },
): Promise<boolean> {
  // What is numbered up to there has reached the server and only waits for its receipt.
  const waiting = await unsentAfter(store, { job_id, after: last_seq });
  const again = [...lost.map(asOffered), ...waiting].toSorted(byWriting);
  const isDense = waiting.every(({ seq }, place) => seq === last_seq + 1 + place);
  if (lost.length === 0 && isDense) {
    return false;
  }
  await store.outbox.bulkPut(
    again.map((mutation, place) => ({ ...mutation, ...placeOf(mutation, last_seq + 1 + place) })),
  );
  await countFrom(store, job_id, last_seq + again.length);
  return true;
}

/** What is of an older app was sent before; its numbers may have been dealt anew, and tell less than their devices. */
const writtenAs = ({ mutation }: Pick<ReceiptRecord, "mutation">) => mutation.written ?? 0;

function asOffered({ mutation, stored_at, device_id, seq, shown }: ReceiptRecord): OutboxRecord {
  return {
    ...mutation,
    written: writtenAs({ mutation }),
    again: { stored_at, device_id, seq, shown },
  };
}

/** Take one mutation out of its lane because no request can carry it; keep it for its author. */
export async function setAsideHere(
  store: Store,
  { mutation, code }: { mutation: OutboxRecord; code: string },
): Promise<void> {
  const tables = [store.outbox, store.lanes, store.overlay, store.attention, store.uploads];
  const device_id = await deviceIdOf(store);
  // The next one moves up into its place, and was done after it.
  const before = { ...mutation, seq: mutation.seq - 0.5 };
  await store.transaction("rw", tables, async () => {
    await store.outbox.delete(mutation.id);
    if (mutation.type === "photo.add") {
      await store.uploads.update(mutation.entity, { held: true });
    }
    await store.overlay.where("mutation_id").equals(mutation.id).delete();
    await store.attention.put(
      attentionOf(
        { outcome: "set_aside", detail: { code, message: "" } },
        { mutation: before, device_id },
      ),
    );
    await renumber(store, { job_id: mutation.job_id, after: mutation.seq - 1 });
  });
}
