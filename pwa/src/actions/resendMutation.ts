import { currentStore } from "../local/current";
import { withRoom } from "../local/disk";
import type { AttentionRecord, MutationType } from "../local/records";
import type { Result } from "../local/result";
import { MIRRORS } from "./mirror";
import { type Deed, settleAttention, write } from "./write";

/**
 * Send again, with its fields mended, something that the server refused or could not apply.
 *
 * It becomes a new mutation about the same thing; photos that were refused along with an issue go
 * with it. With no signal it waits like anything else. The server may refuse it again.
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
    deeds: [deedOf({ ...item, fields }), ...along.map(deedOf)],
    settles: [id, ...along.map((other) => other.id)],
  });
}

/** Look at it later: it stays whole on this phone, and the bar on every screen asks no more. */
export async function keepAttention(id: string): Promise<void> {
  await currentStore.value?.attention.update(id, { kept_at: new Date().toISOString() });
}

/**
 * Give up on it: it leaves this phone, a photo with its bytes. The server keeps what it was sent.
 * Needs no signal; nothing else that waits is touched.
 */
export async function dismissAttention(id: string): Promise<void> {
  const store = currentStore.value;
  const item = await store?.attention.get(id);
  if (!store || !item) {
    return;
  }
  const tables = [store.attention, store.settled, store.photos_full, store.uploads];
  const giveUp = async () => {
    await settleAttention(store, [id]);
    if (item.type === "photo" || item.type === "photo.add") {
      await store.photos_full.delete(item.entity);
      await store.uploads.delete(item.entity);
    }
  };
  await withRoom(store, () => store.transaction("rw", tables, giveUp));
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

function deedOf({ type, entity, fields }: AttentionRecord): Deed {
  return { type: type as MutationType, entity, fields };
}
