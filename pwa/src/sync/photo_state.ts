/** What the server says of a photo's bytes, and what a person is told of a photo that is in trouble. */
import type { AttentionOutcome, AttentionRecord, BaseRecord, UploadRecord } from "../local/records";
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
    await store.uploads.update(id, { held: false, uploaded_at: null, declined: undefined });
    await store.attention.delete(id);
  } else if (state === "pending" && (await isMadeHere(store, photo))) {
    // It was sent and let go of here, and the server came back from a backup without it.
    await tellOfPhoto(store, { ...photo, code: "photo_gone" });
  }
}

/** Its announcement may be on its way once more, to a server that is another one. */
async function isMadeHere(store: Store, { id, job_id }: BaseRecord): Promise<boolean> {
  const announced = await store.receipts
    .where("job_id")
    .equals(job_id)
    .filter(({ mutation }) => mutation.type === "photo.add" && mutation.entity === id)
    .count();
  const again = await store.outbox
    .where("entity")
    .equals(id)
    .filter(({ type, again }) => type === "photo.add" && again !== undefined)
    .count();
  return announced + again > 0;
}

/**
 * Inside a transaction: a photo that this person may no longer see goes, with its pictures. Where nobody
 * else has its bytes it stays, held and told, until the server waits for it or its author decides.
 */
export async function letGoOfPhoto(store: Store, id: string): Promise<void> {
  const upload = await store.uploads.get(id);
  if (upload && isOnlyHere(upload)) {
    await keepUnsent(store, upload);
    return;
  }
  await store.uploads.delete(id);
  await store.photos_full.delete(id);
  await letGoOfPictures(store, [id]);
}

async function letGoOfPictures({ thumbs }: Store, ids: string[]): Promise<void> {
  const sizes = ["thumb", "large"] as const;
  await thumbs.bulkDelete(ids.flatMap((id) => sizes.map((size): [string, string] => [id, size])));
}

/**
 * Fetched pictures of photos that this person may no longer see, where nothing that names the photo was left
 * to find them by. Only keys are read, those of the pictures first: what is put beside them meanwhile is known.
 */
export async function letGoOfStrayPictures(store: Store): Promise<void> {
  const pictures = await store.thumbs.toCollection().primaryKeys();
  if (pictures.length === 0) {
    return;
  }
  const unsent = await store.uploads.toCollection().primaryKeys();
  const rows = await store.rows.where("table").equals("photo").primaryKeys();
  const named = new Set([...unsent, ...rows.map(([, id]) => id)]);
  const ids = new Set(pictures.map(([id]) => id));
  for (const id of [...ids].filter((one) => !named.has(one))) {
    if (!(await isKnown(store, id))) {
      await letGoOfPictures(store, [id]);
    }
  }
}

/** A job that was read anew names no row that it no longer shows: here is a photo of which nothing is left. */
export async function letGoOfUnseenPhotos(store: Store): Promise<void> {
  const { uploads, photos_full, thumbs, attention } = store;
  for (const { id } of await uploads.filter((one) => !one.held).toArray()) {
    if (!(await isKnown(store, id))) {
      await store.transaction("rw", uploads, photos_full, thumbs, attention, () =>
        letGoOfPhoto(store, id),
      );
    }
  }
  await letGoOfStrayPictures(store);
}

/** Looked for in the order in which a photo goes through them. */
async function isKnown({ outbox, overlay, rows }: Store, id: string): Promise<boolean> {
  return (
    (await outbox.where("entity").equals(id).count()) > 0 ||
    (await overlay.where("[table+id]").equals(["photo", id]).count()) > 0 ||
    (await rows.get(["photo", id])) !== undefined
  );
}

/** Not sent, or sent and not taken. */
function isOnlyHere({ uploaded_at, held }: UploadRecord): boolean {
  return uploaded_at === null || held;
}

/** Is there any sense in sending a photo in this trouble once more, as it is? */
export function canGoAgain(outcome: AttentionOutcome): boolean {
  return outcome === "photo_not_taken" || outcome === "photo_damaged";
}

async function keepUnsent(store: Store, { id, job_id, taken_at }: UploadRecord): Promise<void> {
  await store.uploads.update(id, { held: true });
  const ofTheJob = store.attention.where("job_id").equals(job_id);
  // What was refused says enough; that it was not taken yet, or could not be read, matters no longer.
  const isTold = ({ entity, outcome }: AttentionRecord) => entity === id && !canGoAgain(outcome);
  if ((await ofTheJob.filter(isTold).count()) === 0) {
    await tellOfPhoto(store, { id, job_id, fields: { taken_at }, code: "photo_unsent" });
  }
}

/**
 * Held, because its announcement was not taken, and the card that said so was given up on another phone of this
 * person: nobody would send it, and no screen would show it. Its author decides about the bytes that are here.
 */
export async function tellOfForsaken(store: Store): Promise<void> {
  const { uploads, attention, outbox, overlay, rows } = store;
  const tables = [uploads, attention, outbox, overlay, rows];
  await store.transaction("rw", tables, async () => {
    for (const { id, job_id, taken_at } of await uploads.filter((one) => one.held).toArray()) {
      const ofTheJob = attention.where("job_id").equals(job_id);
      const cards = await ofTheJob.filter(({ entity }) => entity === id).count();
      if (cards === 0 && !(await isKnown(store, id))) {
        const about = { id, job_id, fields: { taken_at } };
        await tellOfPhoto(store, { ...about, code: "photo_unsent", why: "given_up_elsewhere" });
      }
    }
  });
}

type Told = Pick<BaseRecord, "id" | "job_id" | "fields"> & {
  code: Exclude<AttentionOutcome, "refused" | "set_aside">;
  /** Where the outcome alone does not say it. */
  why?: string;
};

/** Inside a transaction: under "Needs your attention" until the server has it, or somebody gives it up. */
export async function tellOfPhoto(store: Store, told: Told): Promise<void> {
  const { id, job_id, fields, code, why = code } = told;
  const about: AttentionRecord = {
    id,
    job_id,
    type: "photo",
    entity: id,
    fields,
    device_time: String(fields["taken_at"] ?? ""),
    outcome: code,
    code: why,
    message: String(fields["refused_reason"] ?? ""),
    problem_fields: {},
    at: new Date().toISOString(),
  };
  await store.attention.put(about);
}
