/** What the server said of each mutation. Stored in the transaction in which it leaves the outbox. */
import type { AttentionRecord, OutboxRecord } from "../local/records";
import type { Store } from "../local/store";
import { problemFields } from "./http";
import type { PushedReceipt } from "./shapes";

type Told = { job_id: string; device_id: string; receipts: PushedReceipt[] };

/** How many mutations left the outbox. */
export async function storeReceipts(store: Store, told: Told): Promise<number> {
  const tables = [
    store.outbox,
    store.overlay,
    store.receipts,
    store.attention,
    store.uploads,
    store.meta,
  ];
  return await store.transaction("rw", tables, async () => {
    let stored = 0;
    for (const receipt of told.receipts) {
      const mutation = await store.outbox.get(receipt.id);
      if (mutation) {
        await storeReceipt(store, { receipt, mutation, device_id: told.device_id });
        stored += 1;
      }
    }
    if (stored > 0) {
      await store.meta.put({ name: "last_sent_at", value: new Date().toISOString() });
    }
    return stored;
  });
}

type Storing = { receipt: PushedReceipt; mutation: OutboxRecord; device_id: string };

async function storeReceipt(store: Store, { receipt, mutation, device_id }: Storing) {
  const overlay = store.overlay.where("mutation_id").equals(mutation.id);
  const isAside = receipt.outcome === "refused" || receipt.outcome === "set_aside";
  await store.receipts.put({
    ...receipt,
    detail: receipt.detail ? withoutUndefined(receipt.detail) : null,
    job_id: mutation.job_id,
    device_id,
    stored_at: new Date().toISOString(),
    mutation,
    shown: isAside ? [] : await overlay.toArray(),
  });
  await store.outbox.delete(mutation.id);
  if (isAside) {
    // The server shows the row as it was, and so does the phone; what was meant is kept whole.
    await overlay.delete();
    if (mutation.type === "photo.add") {
      await store.uploads.update(mutation.entity, { held: true });
    }
    await store.attention.put(attentionOf(receipt, mutation));
    return;
  }
  // It stays visible until a pull that was asked for after this moment has brought the rows.
  await overlay.modify({ rev: receipt.rev });
}

function withoutUndefined(detail: NonNullable<PushedReceipt["detail"]>) {
  return Object.fromEntries(Object.entries(detail).filter(([, value]) => value !== undefined));
}

export function attentionOf(
  { outcome, detail }: Pick<PushedReceipt, "outcome" | "detail">,
  mutation: OutboxRecord,
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
  };
}

/** Receipts live 30 days (sync rules), as long as the server may be asked to take them again. */
const RECEIPT_DAYS = 30;
const DAY_MS = 86_400_000;

export async function pruneReceipts(store: Store): Promise<void> {
  const oldest = new Date(Date.now() - RECEIPT_DAYS * DAY_MS).toISOString();
  await store.receipts.where("stored_at").below(oldest).delete();
}
