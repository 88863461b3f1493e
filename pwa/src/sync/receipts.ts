/** What the server said of each mutation. Stored in the transaction in which it leaves the outbox. */
import { isDiskFull } from "../local/disk";
import type { AttentionRecord, OfferedAgain, OutboxRecord, OverlayRecord } from "../local/records";
import type { Store } from "../local/store";
import { calledOn } from "./called";
import { problemFields } from "./http";
import { forgetKnown, noteKnown } from "./photos";
import { serverNow } from "./server_clock";
import type { PushedReceipt } from "./shapes";

type Told = { job_id: string; device_id: string; receipts: PushedReceipt[] };

/**
 * How many mutations left the outbox. Where there is no room for all at once, it may be had for half of them.
 * Where there is none for a single one, the photos that they announce can be sent all the same: that makes room.
 */
export async function storeReceipts(store: Store, told: Told): Promise<number> {
  try {
    return await storeTogether(store, told);
  } catch (problem) {
    if (!isDiskFull(problem)) {
      throw problem;
    }
    noteKnown(store, await photosOf(store, told));
    const half = Math.floor(told.receipts.length / 2);
    if (half === 0) {
      throw problem;
    }
    const { receipts, ...from } = told;
    const first = await storeReceipts(store, { ...from, receipts: receipts.slice(0, half) });
    return first + (await storeReceipts(store, { ...from, receipts: receipts.slice(half) }));
  }
}

/** Those that the server has taken. */
async function photosOf({ outbox }: Store, { receipts }: Told): Promise<string[]> {
  const taken = receipts.filter((one) => !isAside(one)).map(({ id }) => id);
  return (await outbox.bulkGet(taken)).flatMap((one) =>
    one?.type === "photo.add" ? [one.entity] : [],
  );
}

async function storeTogether(store: Store, told: Told): Promise<number> {
  const tables = [
    store.outbox,
    store.rows,
    store.overlay,
    store.receipts,
    store.attention,
    store.uploads,
    store.meta,
  ];
  const settled: Settled[] = [];
  await store.transaction("rw", tables, async () => {
    await Promise.all(
      told.receipts.map(async (receipt) => {
        const mutation = await store.outbox.get(receipt.id);
        if (mutation) {
          const overlay = store.overlay.where("mutation_id").equals(mutation.id);
          const shown = isAside(receipt) ? [] : await overlay.toArray();
          settled.push({ receipt, mutation, shown });
        }
      }),
    );
    if (settled.length > 0) {
      await storeSettled(store, { settled, device_id: told.device_id });
      await store.meta.put({ name: "last_sent_at", value: new Date().toISOString() });
    }
  });
  forgetKnown(
    store,
    settled.map(({ mutation }) => mutation.entity),
  );
  return settled.length;
}

type Answered = { receipt: PushedReceipt; mutation: OutboxRecord };
/** With what shows of it on this phone; nothing of what was not taken. */
type Settled = Answered & { shown: OverlayRecord[] };

function isAside({ outcome }: PushedReceipt): boolean {
  return outcome === "refused" || outcome === "set_aside";
}

/** All of one answer together: one by one, a hundred receipts would be five hundred questions in turn. */
async function storeSettled(
  store: Store,
  { settled, device_id }: { settled: Settled[]; device_id: string },
): Promise<void> {
  const now = (serverNow() ?? new Date()).toISOString();
  await store.receipts.bulkPut(
    settled.map(({ receipt, mutation: { again, ...mutation }, shown }) => ({
      ...receipt,
      detail: receipt.detail ? withoutUndefined(receipt.detail) : null,
      job_id: mutation.job_id,
      device_id,
      // As old as the server's own: one that is renewed would be offered when that is forgotten.
      stored_at: again?.stored_at ?? now,
      mutation,
      shown: shown.length > 0 ? shown : shownBefore(receipt, again),
    })),
  );
  await store.outbox.bulkDelete(settled.map(({ mutation }) => mutation.id));
  // Refused once and taken now, when it was offered again: its author has nothing left to do.
  const taken = settled.filter(({ receipt }) => !isAside(receipt));
  await store.attention.bulkDelete(taken.map(({ mutation }) => mutation.id));
  // It stays visible until a pull that was asked for after this moment has brought the rows.
  await store.overlay.bulkPut(
    settled.flatMap(({ receipt: { rev }, shown }) => shown.map((change) => ({ ...change, rev }))),
  );
  for (const one of settled) {
    if (isAside(one.receipt)) {
      await keepForItsAuthor(store, { ...one, device_id });
    }
  }
}

/** It was offered to a server that knew it, and so was not laid over what others wrote since. */
function shownBefore(receipt: PushedReceipt, again: OfferedAgain | undefined): OverlayRecord[] {
  return isAside(receipt) ? [] : (again?.shown ?? []);
}

/** The server shows the row as it was, and so does the phone; what was meant is kept whole. */
async function keepForItsAuthor(
  store: Store,
  { receipt, mutation, device_id }: Answered & { device_id: string },
): Promise<void> {
  await store.overlay.where("mutation_id").equals(mutation.id).delete();
  if (mutation.type === "photo.add") {
    await store.uploads.update(mutation.entity, { held: true });
  }
  // Its rows may be out of sight from the next pull on.
  const called = await calledOn(store, mutation);
  const { kept_at, told_in, job_name } = (await store.attention.get(mutation.id)) ?? {};
  await store.attention.put({
    ...(kept_at ? { kept_at } : {}),
    ...(told_in ? { told_in } : {}),
    ...(job_name ? { job_name } : {}),
    ...attentionOf(receipt, { mutation, device_id }),
    ...called,
  });
  // They may have settled it on another phone before this answer came: the list says so, and is read once more.
  await store.meta.delete("aside_read");
}

function withoutUndefined(detail: NonNullable<PushedReceipt["detail"]>) {
  return Object.fromEntries(Object.entries(detail).filter(([, value]) => value !== undefined));
}

export function attentionOf(
  { outcome, detail }: Pick<PushedReceipt, "outcome" | "detail">,
  { mutation, device_id }: { mutation: OutboxRecord; device_id: string },
): AttentionRecord {
  return {
    id: mutation.id,
    job_id: mutation.job_id,
    type: mutation.type,
    entity: mutation.entity,
    fields: mutation.fields,
    device_time: mutation.device_time,
    outcome: outcome === "refused" ? "refused" : "set_aside",
    code: detail?.code ?? outcome,
    message: detail?.message ?? "",
    problem_fields: problemFields(detail?.fields),
    at: new Date().toISOString(),
    device_id,
    seq: mutation.seq,
  };
}

/** Receipts live 30 days (sync rules), as long as the server may be asked to take them again. */
const RECEIPT_DAYS = 30;
const DAY_MS = 86_400_000;

/** By the server's clock: a phone that jumps a year ahead would forget what a restored server asks for. */
export async function pruneReceipts(store: Store): Promise<void> {
  const now = serverNow();
  if (now) {
    const oldest = new Date(now.getTime() - RECEIPT_DAYS * DAY_MS).toISOString();
    await store.receipts.where("stored_at").below(oldest).delete();
  }
}
