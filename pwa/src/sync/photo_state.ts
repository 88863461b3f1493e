/** What the server says of a photo's bytes, and what a person is told of a photo that is in trouble. */
import type { AttentionRecord, BaseRecord } from "../local/records";
import type { Store } from "../local/store";

/** The full photo may go once the server says that it has it; a refused one stays and is told. */
export async function settlePhoto(store: Store, photo: BaseRecord): Promise<void> {
  const { id, fields } = photo;
  const state = fields["state"];
  const isKept = (await store.uploads.get(id)) !== undefined;
  if (state === "stored") {
    await store.photos_full.delete(id);
    await store.uploads.delete(id);
    await store.attention.delete(id);
  } else if (state === "refused" && isKept) {
    await store.uploads.update(id, { held: true });
    await tellOfPhoto(store, { ...photo, code: "photo_refused" });
  } else if (state === "pending" && isKept) {
    // The server waits for its bytes: access came back, or what it had was lost. Whatever held them, they go.
    await store.uploads.update(id, { held: false, uploaded_at: null });
    await store.attention.delete(id);
  } else if (state === "pending" && (await isMadeHere(store, photo))) {
    // It was sent and let go of here, and the server came back from a backup without it.
    await tellOfPhoto(store, { ...photo, code: "photo_gone" });
  }
}

async function isMadeHere(store: Store, { id, job_id }: BaseRecord): Promise<boolean> {
  const announced = await store.receipts
    .where("job_id")
    .equals(job_id)
    .filter(({ mutation }) => mutation.type === "photo.add" && mutation.entity === id)
    .count();
  return announced > 0;
}

type Told = Pick<BaseRecord, "id" | "job_id" | "fields"> & {
  code: "photo_refused" | "photo_unsent" | "photo_gone";
};

/** Inside a transaction: under "Needs your attention" until the server has it, or somebody gives it up. */
export async function tellOfPhoto(store: Store, { id, job_id, fields, code }: Told): Promise<void> {
  const about: AttentionRecord = {
    id,
    job_id,
    type: "photo",
    entity: id,
    fields,
    device_time: String(fields["taken_at"] ?? ""),
    outcome: code,
    code,
    message: String(fields["refused_reason"] ?? ""),
    problem_fields: {},
    at: new Date().toISOString(),
  };
  await store.attention.put(about);
}
