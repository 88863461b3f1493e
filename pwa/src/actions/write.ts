/**
 * The one write path. What a person does becomes one strict transaction that writes the overlay
 * (what the screens show at once), the outbox (what is sent later), the photo, and clears the
 * draft. It resolves when the browser says that the transaction is on disk: only then may a screen
 * say "Saved on this phone". It never needs the network and never waits for it.
 */
import { APP_VERSION } from "../local/app_version";
import { bytesIn } from "../local/bytes";
import { currentStore } from "../local/current";
import { besideBallast, isDiskFull, requireBallast, withRoom } from "../local/disk";
import { deleteDraft } from "../local/draft_photos";
import { whilePressed } from "../local/draft_saves";
import { nextPlace } from "../local/lane";
import { readRow } from "../local/merge";
import { whileWriting } from "../local/open_writes";
import { isLeftOver, type Mutation, type MutationType, resetUnderWay } from "../local/records";
import { brokenOff, type Result } from "../local/result";
import type { TableName } from "../local/rows";
import { session } from "../local/session";
import type { Store } from "../local/store";
import { uuid7 } from "../local/uuid7";
import type { PreparedPhoto } from "../photo/prepare";
import { mendKey } from "./drafts";
import type { ReadingFields } from "./fields";
import { MIRRORS, type Seen } from "./mirror";

/** What the server takes of one change, as JSON in UTF-8, less what stands around its fields. */
const FIELDS_BYTES = 1_000_000 - 1_000;

export type Deed = {
  type: MutationType;
  entity: string;
  fields: object;
  photo?: PreparedPhoto | undefined;
  /**
   * The mutation that was not taken and is sent again with this: its card goes with it, and without the card
   * nothing is left to be done.
   */
  replaces?: string;
};
export type Write = {
  jobId: string;
  deeds: Deed[];
  /** Cleared in the same transaction, so that a draft never outlives nor predeceases its save. */
  draftKey?: string | undefined;
};

class MissingRow extends Error {}

export async function write(what: Write): Promise<Result> {
  const store = currentStore.value;
  if (!store) {
    return { ok: false, code: "not_signed_in" };
  }
  if (what.deeds.some((deed) => bytesIn(JSON.stringify(deed.fields)) > FIELDS_BYTES)) {
    return { ok: false, code: "invalid", fields: { size: "too_long" } };
  }
  try {
    return await whileWriting(() => saveAtPress(store, what));
  } catch (problem) {
    if (problem instanceof MissingRow) {
      return { ok: false, code: "not_found" };
    }
    if (isDiskFull(problem)) {
      return { ok: false, code: "disk_full" };
    }
    return brokenOff(problem);
  }
}

type Pressed = Write & { turn: number };

async function saveAtPress(store: Store, what: Write): Promise<Result> {
  const save = (turn: number) => saveWithBallast(store, { ...what, turn });
  return await (what.draftKey ? whilePressed(what.draftKey, save) : save(0));
}

async function saveWithBallast(store: Store, what: Pressed): Promise<Result> {
  if (!what.deeds.some((deed) => deed.photo)) {
    return await withRoom(store, () => save(store, what));
  }
  // The ballast is for words. A photo that does not fit beside it is told to the person, who may then
  // save the words alone.
  return await besideBallast(store, () => save(store, what));
}

async function save(store: Store, what: Pressed): Promise<Result> {
  const tables = [
    store.rows,
    store.cursors,
    store.overlay,
    store.outbox,
    store.lanes,
    store.photos_full,
    store.uploads,
    store.thumbs,
    store.drafts,
    store.draft_photos,
    store.ended_drafts,
    store.intents,
    store.attention,
    store.receipts,
    store.settled,
    store.meta,
    store.ballast,
  ];
  await store.transaction("rw", tables, async () => {
    for (const deed of await leftToDo(store, what.deeds)) {
      await saveDeed(store, { jobId: what.jobId, deed });
    }
    if (what.draftKey) {
      await deleteDraft(store, what.draftKey, what.turn);
      await store.intents.clear();
    }
  });
  return { ok: true, id: what.deeds[0]?.entity ?? "" };
}

/** Where the card is gone, another press or another tab has sent it, or its author gave it up: that is enough. */
async function leftToDo(store: Store, deeds: Deed[]): Promise<Deed[]> {
  const cards = await store.attention.bulkGet(deeds.map(({ replaces }) => replaces ?? ""));
  return deeds.filter(({ replaces }, place) => !replaces || cards[place]);
}

/** Inside a transaction: it needs nobody any more, here or on another phone of this person. */
export async function settleAttention(store: Store, ids: string[]): Promise<void> {
  await store.attention.bulkDelete(ids);
  await store.receipts.where("id").anyOf(ids).modify({ is_dealt_with: true });
  for (const id of ids) await deleteDraft(store, mendKey(id));
  const settled_at = new Date().toISOString();
  await store.settled.bulkPut(ids.map((id) => ({ id, settled_at })));
}

async function saveDeed(store: Store, { jobId, deed }: { jobId: string; deed: Deed }) {
  const { table, makes, mirror } = MIRRORS[deed.type];
  const before = await readRow(store, { table, id: deed.entity });
  if (!before && !makes) {
    throw new MissingRow(`${table} ${deed.entity}`);
  }
  const { seq, written } = await nextPlace(store, jobId);
  const mutation: Mutation = {
    id: uuid7(),
    seq,
    type: deed.type,
    v: 1,
    entity: deed.entity,
    base_rev: await knownRev(store, { table, deed, jobId }),
    fields: { ...deed.fields },
    device_time: new Date().toISOString(),
    app: APP_VERSION,
    ...(deed.replaces ? { replaces: deed.replaces } : {}),
  };
  const rows = await mirror(deed.fields as never, seenBy(store, mutation));
  await store.outbox.add({ ...mutation, job_id: jobId, written });
  await store.overlay.bulkAdd(
    rows.map((row) => ({ ...row, mutation_id: mutation.id, job_id: jobId, rev: null })),
  );
  if (deed.replaces) {
    await settleAttention(store, [deed.replaces]);
  }
  if (deed.photo) {
    await savePhoto(store, { jobId, id: deed.entity, photo: deed.photo });
  } else if (deed.type === "photo.add") {
    // Announced again after a refusal: its bytes are on this phone still.
    await store.uploads.update(deed.entity, { held: false });
  }
}

/**
 * What the server last told this phone of the row that a change speaks of; a reading is new, and speaks of its
 * step, or without one of its visit. The number of a receipt is no such thing: what others changed before it has
 * yet to be pulled. A row that a reset has not brought so far may bear a number of before a backup, at which the
 * server has something else by now: of that one nothing is known.
 */
async function knownRev(
  store: Store,
  { table, deed, jobId }: { table: TableName; deed: Deed; jobId: string },
): Promise<number> {
  const row = await store.rows.get(spokenOf(deed) ?? [table, deed.entity]);
  const cursor = await store.cursors.get(jobId);
  return row && !isLeftOver(row, resetUnderWay(cursor)) ? row.rev : 0;
}

function spokenOf({ type, fields }: Deed): [TableName, string] | null {
  if (type !== "reading.record") return null;
  const { step_id, visit_id } = fields as ReadingFields;
  if (step_id) return ["step", step_id];
  return visit_id ? ["visit", visit_id] : null;
}

type Known = { id: string; name: string };

function seenBy(store: Store, mutation: Mutation): Seen {
  const author = session.value;
  if (!author) {
    throw new Error("signed out in the middle of a save");
  }
  return {
    id: mutation.entity,
    by: {
      person_id: author.as === "device" ? author.principal_id : null,
      // As the server names them: a link speaks for the person it was made out to.
      name: author.recipient || author.name,
      role: author.role,
      at: mutation.device_time,
    },
    row: (key) => readRow(store, key),
    personName: async (id) => {
      const people = (await store.meta.get("people"))?.value as Known[] | undefined;
      return people?.find((person) => person.id === id)?.name ?? null;
    },
  };
}

async function savePhoto(
  store: Store,
  { jobId, id, photo }: { jobId: string; id: string; photo: PreparedPhoto },
) {
  await requireBallast(store);
  await store.photos_full.put({ id, blob: photo.full });
  await store.thumbs.put({ id, size: "thumb", blob: photo.thumb, kept_at: photo.taken_at });
  await store.uploads.put({
    id,
    job_id: jobId,
    taken_at: photo.taken_at,
    started_at: null,
    uploaded_at: null,
    held: false,
  });
}
