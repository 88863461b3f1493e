import { currentStore } from "../local/current";
import { unlessFull, withRoom } from "../local/disk";
import { readRow } from "../local/merge";
import type { AttentionRecord, MutationType } from "../local/records";
import type { Result } from "../local/result";
import type { Store } from "../local/store";
import { MIRRORS } from "./mirror";
import { type Deed, settleAttention, write } from "./write";

/**
 * Send again, with its fields mended, something that the server refused or could not apply.
 *
 * It becomes a new mutation about the same thing; photos that were refused along with an issue go
 * with it, and a reading goes without a visit that was closed meanwhile. With no signal it waits like
 * anything else. The server may refuse it again.
 */
export async function resendMutation(id: string, fields: Record<string, unknown>): Promise<Result> {
  const store = currentStore.value;
  const item = await store?.attention.get(id);
  if (!store || !item || !isMutation(item.type)) {
    return { ok: false, code: "not_found" };
  }
  const sameJob = await store.attention.where("job_id").equals(item.job_id).toArray();
  const along = sameJob.filter((other) => other.id !== id && hangsOn(other, item));
  return await write({
    jobId: item.job_id,
    deeds: await Promise.all(
      [{ ...item, fields }, ...along].map(async (one) =>
        deedOf(await withoutClosedVisit(store, one)),
      ),
    ),
    draftKey: mendKey(id),
    settles: [id, ...along.map((other) => other.id)],
  });
}

/** Under which what is mended is kept as it is typed, until it is sent again or given up. */
export const mendKey = (id: string) => `mend:${id}`;

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
  const item = await store?.attention.get(id);
  if (!store || !item) {
    return { ok: false, code: "not_found" };
  }
  const { attention, settled, photos_full, uploads, thumbs, drafts, rows } = store;
  const tables = [attention, settled, photos_full, uploads, thumbs, drafts, rows];
  const giveUp = async () => {
    await settleAttention(store, [id]);
    await drafts.delete(mendKey(id));
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

function isMutation(type: string): type is MutationType {
  return type in MIRRORS;
}

function hangsOn(other: AttentionRecord, item: AttentionRecord): boolean {
  return (
    isMutation(other.type) &&
    (other.entity === item.entity || Object.values(other.fields).includes(item.entity))
  );
}

/** Now that this phone knows of the close, the server would take no reading on that visit from it. */
async function withoutClosedVisit(store: Store, item: AttentionRecord): Promise<AttentionRecord> {
  const { visit_id } = item.fields;
  if (item.type !== "reading.record" || typeof visit_id !== "string") return item;
  const tables = [store.rows, store.overlay];
  const visit = await store.transaction("r", tables, () =>
    readRow(store, { table: "visit", id: visit_id }),
  );
  return visit?.state === "closed" ? { ...item, fields: { ...item.fields, visit_id: null } } : item;
}

function deedOf({ type, entity, fields }: AttentionRecord): Deed {
  return { type: type as MutationType, entity, fields };
}
