/** What the server says of a photo's bytes. */
import type { BaseRecord } from "../local/records";
import type { Store } from "../local/store";

/** The full photo may go once the server says that it has it; a refused one stays and is told. */
export async function settlePhoto(store: Store, photo: BaseRecord): Promise<void> {
  const { id, fields } = photo;
  if (fields["state"] === "stored") {
    await store.photos_full.delete(id);
    await store.uploads.delete(id);
  } else if (fields["state"] === "refused" && (await store.uploads.get(id))) {
    await tellRefused(store, photo);
  } else if (fields["state"] === "pending" && (await store.uploads.get(id))) {
    await sendAfterAll(store, id);
  }
}

/** The server waits for its bytes: access came back, or what it had was lost. Whatever held them, they go. */
async function sendAfterAll(store: Store, id: string): Promise<void> {
  await store.uploads.update(id, { held: false, uploaded_at: null });
  await store.attention.delete(id);
}

async function tellRefused(store: Store, { id, job_id, fields }: BaseRecord): Promise<void> {
  await store.uploads.update(id, { held: true });
  await store.attention.put({
    id,
    job_id,
    type: "photo",
    entity: id,
    fields,
    device_time: String(fields["taken_at"] ?? ""),
    outcome: "photo_refused",
    code: "photo_refused",
    message: String(fields["refused_reason"] ?? ""),
    problem_fields: {},
    at: new Date().toISOString(),
  });
}
