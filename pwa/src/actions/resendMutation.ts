import { currentStore } from "../local/current";
import { unlessFull, withRoom } from "../local/disk";
import { readRow } from "../local/merge";
import type { AttentionRecord, MutationType } from "../local/records";
import type { Result } from "../local/result";
import type { Store } from "../local/store";
import { mendKey, readDraft } from "./drafts";
import { goingTogether, isMutation } from "./hangs-on";
import { type Deed, settleAttention, write } from "./write";

/**
 * Send again, with its fields mended, something that the server refused or could not apply.
 *
 * It becomes a new mutation about the same thing, which names the one that it replaces: should the server take
 * that by itself meanwhile, it counts once. What was set aside only because this was goes with it, as
 * mended on its own card; a creation that it hangs on goes before it. Nothing that was put off goes unasked.
 * A reading goes without a visit that is over meanwhile. With no signal all of it waits like anything else.
 * The server may refuse it again.
 */
export async function resendMutation(id: string, fields: Record<string, unknown>): Promise<Result> {
  const store = currentStore.value;
  if (!store) {
    return { ok: false, code: "not_signed_in" };
  }
  const item = await store.attention.get(id);
  if (!item) {
    // Sent or given up already, by another press or on another tab.
    return { ok: true, id };
  }
  if (!isMutation(item.type)) {
    return { ok: false, code: "not_found" };
  }
  const cards = await store.attention.where("job_id").equals(item.job_id).toArray();
  const { inOrder, keptFirst } = goingTogether(item, { cards });
  if (keptFirst) {
    return { ok: false, code: "not_found" };
  }
  const deeds = await Promise.all(
    inOrder.map(async (card) => {
      const mended = card.id === id ? fields : await readDraft<object>(mendKey(card.id));
      const whole = { ...card, fields: { ...card.fields, ...mended } };
      return deedOf(await withoutVisitThatIsOver(store, whole));
    }),
  );
  return await write({ jobId: item.job_id, deeds });
}

/** Look at it later: it stays whole on this phone, and the bar on every screen asks no more. */
export async function keepAttention(id: string): Promise<Result> {
  const store = currentStore.value;
  const kept_at = new Date().toISOString();
  return await savedIn(store, { id, work: async () => store?.attention.update(id, { kept_at }) });
}

type Small = { id: string; work: () => Promise<unknown> };

/** Small enough for the room that is kept for words; where even that is gone, it is told. */
async function savedIn(store: Store | null, { id, work }: Small): Promise<Result> {
  if (!store) {
    return { ok: false, code: "not_signed_in" };
  }
  const small = async (): Promise<Result> => {
    await withRoom(store, work);
    return { ok: true, id };
  };
  return await unlessFull(small, { otherwise: { ok: false, code: "disk_full" } });
}

/**
 * Give up on it: it leaves this phone, a photo with its bytes. The server keeps what it was sent.
 * Needs no signal; nothing else that waits is touched.
 */
export async function dismissAttention(id: string): Promise<Result> {
  const store = currentStore.value;
  if (!store) {
    return { ok: false, code: "not_signed_in" };
  }
  const { attention, receipts, settled, photos_full, uploads, thumbs, rows } = store;
  const begun = [store.drafts, store.draft_photos, store.ended_drafts];
  const tables = [attention, receipts, settled, photos_full, uploads, thumbs, rows, ...begun];
  const giveUp = async () => {
    const item = await attention.get(id);
    // Sent or given up already, on another tab: what is on its way keeps its photo.
    if (!item) return;
    await settleAttention(store, [id]);
    if (item.type === "photo" || item.type === "photo.add") {
      await giveUpPhoto(store, item.entity);
    }
  };
  return await savedIn(store, { id, work: () => store.transaction("rw", tables, giveUp) });
}

/** Where the job still has it, its small picture goes on showing there. */
async function giveUpPhoto(store: Store, id: string): Promise<void> {
  await store.photos_full.delete(id);
  await store.uploads.delete(id);
  if (!(await store.rows.get(["photo", id]))) {
    await store.thumbs.delete([id, "thumb"]);
  }
}

/** Now that this phone knows that the visit is over, the server would take no reading on it from here. */
async function withoutVisitThatIsOver(
  store: Store,
  item: AttentionRecord,
): Promise<AttentionRecord> {
  const { visit_id } = item.fields;
  if (item.type !== "reading.record" || typeof visit_id !== "string") return item;
  const tables = [store.rows, store.overlay];
  const visit = await store.transaction("r", tables, () =>
    readRow(store, { table: "visit", id: visit_id }),
  );
  const isOver = visit?.state === "closed" || visit?.state === "cancelled";
  return isOver ? { ...item, fields: { ...item.fields, visit_id: null } } : item;
}

function deedOf({ id, type, entity, fields }: AttentionRecord): Deed {
  return { type: type as MutationType, entity, fields, replaces: id };
}
