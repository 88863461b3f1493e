/**
 * Unsent work goes from the store of one link into that of another. Each thing is on disk in the new store
 * before it leaves the old one: killed between, it lies in both, and the next time finds it so. Ids stay, so
 * that the server answers what it has taken already with the receipt of then; only places in the lane change.
 */
import { forgetAllButDevice } from "../local/device";
import { isDiskFull } from "../local/disk";
import { pictureKeys } from "../local/draft_photos";
import { entryOf, isPhotosKey } from "../local/drafts";
import { byWriting, nextPlace } from "../local/lane";
import type {
  AttentionRecord,
  DraftRecord,
  EndedDraftRecord,
  IntentRecord,
  OutboxRecord,
  OverlayRecord,
  ReceiptRecord,
} from "../local/records";
import type { Store } from "../local/store";

type Work = {
  outbox: OutboxRecord[];
  overlay: OverlayRecord[];
  /** What was taken: to be offered again, should the server come back from a backup. */
  receipts: ReceiptRecord[];
  drafts: DraftRecord[];
  ended: EndedDraftRecord[];
  attention: AttentionRecord[];
  intents: IntentRecord[];
};

type MovedDraft = Pick<DraftRecord, "key" | "saved_at">;
/** Drafts that lie in both stores: by their key, when they were saved. */
type Moved = Map<string, string>;

/**
 * `held`: drafts stay, because the same is being written in the new store. A photo that cannot be moved stays
 * with all that is said of it, or with its draft, while everything else goes; then what hindered it is thrown.
 */
export async function moveWork(from: Store, { to }: { to: Store }): Promise<"all" | "held"> {
  // Two copies of a photo may be here for a moment; this makes room for one.
  await from.ballast.clear();
  const moved: Moved = new Map();
  for (;;) {
    const stuck = await movePhotos(from, { to });
    const work = await readWork(from, { stuck });
    const begun = await copyPictures(from, { to, drafts: work.drafts, moved, stuck });
    const held = await putWork(to, { work, moved, begun });
    const put = new Map(moved);
    const { left, done } = await letGo(from, { work, held, moved, stuck });
    await takeBack(to, { done, put });
    if (left !== "more") {
      const hindrances = [...stuck.values()];
      if (hindrances.length > 0) throw hindrances.find(isDiskFull) ?? hindrances[0];
      return left;
    }
  }
}

/** By a photo's id, or the entry of a draft, what hinders it: the phone is full, or cannot read a picture. */
type Stuck = Map<string, unknown>;

async function movePhotos(from: Store, { to }: { to: Store }): Promise<Stuck> {
  const stuck: Stuck = new Map();
  for (const id of await from.uploads.toCollection().primaryKeys()) {
    try {
      await movePhoto(from, { to, id });
    } catch (hindrance) {
      stuck.set(id, hindrance);
    }
  }
  return stuck;
}

/** One at a time, as everywhere; the words that announce it follow. */
async function movePhoto(from: Store, { to, id }: { to: Store; id: string }) {
  const [upload, full, thumb] = await from.transaction(
    "r",
    [from.uploads, from.photos_full, from.thumbs],
    () =>
      Promise.all([from.uploads.get(id), from.photos_full.get(id), from.thumbs.get([id, "thumb"])]),
  );
  // Sent or given up in another tab since.
  if (!upload) return;
  await to.transaction("rw", to.uploads, to.photos_full, to.thumbs, to.rows, async () => {
    const row = await to.rows.get(["photo", id]);
    if ((await to.uploads.get(id)) || row?.fields["state"] === "stored") {
      return;
    }
    await to.uploads.put(upload);
    await to.photos_full.bulkPut(full ? [full] : []);
    await to.thumbs.bulkPut(thumb ? [thumb] : []);
  });
  await from.transaction("rw", from.uploads, from.photos_full, from.thumbs, async () => {
    await from.uploads.delete(id);
    await from.photos_full.delete(id);
    await from.thumbs.delete([id, "thumb"]);
  });
}

type Copying = { to: Store; drafts: DraftRecord[]; moved: Moved; stuck: Stuck };

/** Before the drafts that name them; but for the entries that are written there or are stuck, which are told. */
async function copyPictures(
  from: Store,
  { to, drafts, moved, stuck }: Copying,
): Promise<Set<string>> {
  const begun = await begunIn(to, moved);
  const entries = drafts
    .map(({ key }) => key)
    .filter(isPhotosKey)
    .map(entryOf);
  for (const entry of entries.filter((one) => !begun.has(one))) {
    try {
      await copyPicturesOf(entry, { from, to });
    } catch (hindrance) {
      stuck.set(entry, hindrance);
      begun.add(entry);
    }
  }
  return begun;
}

/** One at a time. */
async function copyPicturesOf(entry: string, { from, to }: { from: Store; to: Store }) {
  for (const key of await pictureKeys(from, entry)) {
    const picture = await from.draft_photos.get(key);
    await to.draft_photos.bulkPut(picture ? [picture] : []);
  }
}

/** Entries that are written there, and not only moved there a moment ago. */
async function begunIn(store: Store, moved: Moved): Promise<Set<string>> {
  const drafts = await store.drafts.toArray();
  const own = drafts.filter(({ key, saved_at }) => moved.get(key) !== saved_at);
  return new Set(own.map(({ key }) => entryOf(key)));
}

async function readWork(from: Store, { stuck }: { stuck: Stuck }): Promise<Work> {
  const isFree = ({ entity }: { entity: string }) => !stuck.has(entity);
  return await from.transaction("r", from.tables, async () => {
    const outbox = await from.outbox.filter(isFree).toArray();
    const unsent = new Set(outbox.map(({ id }) => id));
    return {
      outbox: outbox.toSorted((a, b) => byWriting(a, b) || a.seq - b.seq),
      overlay: await from.overlay.filter((change) => unsent.has(change.mutation_id)).toArray(),
      receipts: await from.receipts.filter(isTaken).toArray(),
      drafts: await from.drafts.toArray(),
      ended: await from.ended_drafts.toArray(),
      attention: await from.attention.filter(isFree).toArray(),
      intents: await from.intents.toArray(),
    };
  });
}

function isTaken({ outcome }: ReceiptRecord): boolean {
  return outcome !== "refused" && outcome !== "set_aside";
}

/** Its numbers and places are those of the other store; it was sent before anything that is written here. */
function ofAnotherStore(receipt: ReceiptRecord): ReceiptRecord {
  return { ...receipt, mutation: { ...receipt.mutation, written: 0 }, shown: [] };
}

/** In one transaction. Answers with the keys of drafts that must wait. */
async function putWork(to: Store, { work, ...more }: Putting & { work: Work }) {
  return await to.transaction("rw", to.tables, async () => {
    for (const mutation of work.outbox) {
      await putMutation(to, { mutation, overlay: work.overlay });
    }
    const known = new Set(await to.receipts.toCollection().primaryKeys());
    const sent = work.receipts.filter(({ id }) => !known.has(id));
    // What shows of them comes with the rows; their places in the overlay were those of the other store.
    await to.receipts.bulkPut(sent.map(ofAnotherStore));
    // Of another link's list: that it is missing from this one's says nothing.
    for (const { told_in: _, ...item } of work.attention) {
      if (!((await to.attention.get(item.id)) ?? (await to.settled.get(item.id)))) {
        await to.attention.add(item);
      }
    }
    if ((await to.intents.count()) === 0) {
      await to.intents.bulkPut(work.intents);
    }
    await to.ended_drafts.bulkPut(work.ended);
    return await putDrafts(to, { drafts: work.drafts, ...more });
  });
}

type Unsent = { mutation: OutboxRecord; overlay: OverlayRecord[] };

async function putMutation(to: Store, { mutation, overlay }: Unsent): Promise<void> {
  const { again, ...words } = mutation;
  const { id, job_id } = words;
  if ((await to.outbox.get(id)) ?? (await to.receipts.get(id)) ?? (await to.attention.get(id))) {
    return;
  }
  // Places in the overlay are those of the other store.
  const offered = again ? { again: { ...again, shown: [] } } : {};
  await to.outbox.add({ ...words, ...offered, ...(await nextPlace(to, job_id)) });
  const shown = overlay.filter((change) => change.mutation_id === id);
  await to.overlay.bulkAdd(shown.map(({ n: _elsewhere, ...change }) => change));
}

/** `begun`: whose pictures were not copied, though the entry may have gone from there since. */
type Putting = { moved: Moved; begun: Set<string> };

/** Words and photos of one entry stay together. */
async function putDrafts(
  to: Store,
  { drafts, moved, begun: before }: Putting & { drafts: DraftRecord[] },
): Promise<Set<string>> {
  const here = new Map((await to.drafts.toArray()).map(({ key, saved_at }) => [key, saved_at]));
  const begun = new Set([...before, ...(await begunIn(to, moved))]);
  const held = new Set<string>();
  for (const draft of drafts) {
    if (!begun.has(entryOf(draft.key))) {
      await to.drafts.put(draft);
      moved.set(draft.key, draft.saved_at);
    } else if (here.get(draft.key) !== draft.saved_at) {
      held.add(draft.key);
    }
  }
  return held;
}

const OF_DRAFTS = ["drafts", "draft_photos"];

/** Of what was moved, what another tab has saved, emptied or settled meanwhile under the old link. */
type Done = { drafts: MovedDraft[]; attention: AttentionRecord[]; replaced: Set<string> };
type Left = { left: "more" | "held" | "all"; done: Done };

/** Only what was moved. Another tab may have saved something meanwhile: then there is `more` to move. */
async function letGo(
  from: Store,
  { work, held, moved, stuck }: { work: Work; held: Set<string>; moved: Moved; stuck: Stuck },
) {
  return await from.transaction("rw", from.tables, async (): Promise<Left> => {
    const done = await doneMeanwhile(from, { work, moved });
    await from.outbox.bulkDelete(work.outbox.map(({ id }) => id));
    await from.attention.bulkDelete(work.attention.map(({ id }) => id));
    const changed = await changedSince(from, work);
    const isLetGo = ({ key }: DraftRecord) => !held.has(key) && !changed.has(entryOf(key));
    for (const draft of work.drafts.filter(isLetGo)) {
      if (await letGoOfDraft(from, draft)) moved.delete(draft.key);
    }
    if (await hasMore(from, { held, stuck })) {
      return { left: "more", done };
    }
    if (stuck.size > 0) {
      return { left: "held", done };
    }
    // What is left of drafts is held, and its pictures with it; it is still a store in use.
    for (const table of from.tables.filter((one) => ![...OF_DRAFTS, "meta"].includes(one.name))) {
      await table.clear();
    }
    await forgetAllButDevice(from);
    return { left: held.size > 0 ? "held" : "all", done };
  });
}

async function hasMore(
  { outbox, uploads, attention, drafts }: Store,
  { held, stuck }: { held: Set<string>; stuck: Stuck },
): Promise<boolean> {
  const isFree = ({ entity }: { entity: string }) => !stuck.has(entity);
  const counts = await Promise.all([
    outbox.filter(isFree).count(),
    attention.filter(isFree).count(),
    uploads.filter(({ id }) => !stuck.has(id)).count(),
    drafts.filter(({ key }) => !held.has(key)).count(),
  ]);
  return counts.some((count) => count > 0);
}

/** Entries that somebody goes on with there: words and photos of one stay together. */
async function changedSince(from: Store, { drafts }: Work): Promise<Set<string>> {
  const known = new Map(drafts.map(({ key, saved_at }) => [key, saved_at]));
  const now = await from.drafts.toArray();
  const changed = now.filter(({ key, saved_at }) => known.get(key) !== saved_at);
  return new Set(changed.map(({ key }) => entryOf(key)));
}

async function doneMeanwhile(
  from: Store,
  { work, moved }: { work: Work; moved: Moved },
): Promise<Done> {
  const begun = new Set(await from.drafts.toCollection().primaryKeys());
  const cards = new Set(await from.attention.toCollection().primaryKeys());
  const drafts = [...moved].map(([key, saved_at]) => ({ key, saved_at }));
  return {
    drafts: drafts.filter(({ key }) => !begun.has(key)),
    attention: work.attention.filter(({ id }) => !cards.has(id)),
    replaced: new Set((await from.outbox.toArray()).flatMap(({ replaces }) => replaces ?? [])),
  };
}

/** It is not to be done once more; but for an entry that was written on here since. */
async function takeBack(to: Store, { done, put }: { done: Done; put: Moved }): Promise<void> {
  const { drafts, attention, replaced } = done;
  if (drafts.length + attention.length === 0) return;
  const tables = [to.drafts, to.draft_photos, to.attention, to.uploads];
  await to.transaction("rw", tables, async () => {
    const own = await begunIn(to, put);
    for (const draft of drafts.filter(({ key }) => !own.has(entryOf(key)))) {
      await letGoOfDraft(to, draft);
    }
    // Beside a photo that came too, its card is the only way to give that up; but where it is sent again.
    const photos = new Set(await to.uploads.toCollection().primaryKeys());
    const settled = attention.filter(({ id, entity }) => replaced.has(id) || !photos.has(entity));
    await to.attention.bulkDelete(settled.map(({ id }) => id));
  });
}

/** Only as it was moved: another tab may have saved it anew. */
async function letGoOfDraft(from: Store, { key, saved_at }: MovedDraft): Promise<boolean> {
  if ((await from.drafts.get(key))?.saved_at !== saved_at) return false;
  await from.drafts.delete(key);
  if (isPhotosKey(key)) {
    await from.draft_photos.bulkDelete(await pictureKeys(from, entryOf(key)));
  }
  return true;
}

/** Rows and pictures that can be fetched again: nobody reads them here any more. Unsent work stays. */
export async function letGoOfRows(from: Store): Promise<void> {
  await from.transaction("rw", from.tables, async () => {
    const unsent = new Set(await from.uploads.toCollection().primaryKeys());
    await from.rows.clear();
    await from.cursors.clear();
    await from.ballast.clear();
    await from.meta.delete("mark");
    await from.overlay.filter((change) => change.rev !== null).delete();
    await from.receipts.toCollection().modify({ shown: [] });
    const thumbs = await from.thumbs.toCollection().primaryKeys();
    await from.thumbs.bulkDelete(thumbs.filter(([id]) => !unsent.has(id)));
    const full = await from.photos_full.toCollection().primaryKeys();
    await from.photos_full.bulkDelete(full.filter((id) => !unsent.has(id)));
  });
}
