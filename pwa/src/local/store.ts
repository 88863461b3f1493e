/**
 * The phone's store: one database per principal, every version of its schema in order.
 *
 * Every transaction is strict (the browser's default may leave data in the system's memory when
 * it reports success). Nothing here decodes or asks the network.
 */
import { Dexie, type EntityTable, type Table } from "dexie";
import { hasDevice } from "./device";
import { partDraftPhotos } from "./draft_photos";
import type {
  AttentionRecord,
  BallastRecord,
  BaseRecord,
  CursorRecord,
  DraftPictureRecord,
  DraftRecord,
  EndedDraftRecord,
  IntentRecord,
  LaneRecord,
  MetaRecord,
  OutboxRecord,
  OverlayRecord,
  PhotoBlobRecord,
  PictureSize,
  ReceiptRecord,
  SettledRecord,
  ThumbRecord,
  UploadRecord,
} from "./records";
import type { TableName } from "./rows";

export class Store extends Dexie {
  /** What the server last told, row by row. */
  rows!: Table<BaseRecord, [TableName, string]>;
  /** What was done on this phone and is not yet in `rows`; laid over them in order of `n`. */
  overlay!: EntityTable<OverlayRecord, "n">;
  /** Mutations without a receipt. A row never changes and leaves only when its receipt is stored. */
  outbox!: EntityTable<OutboxRecord, "id">;
  lanes!: EntityTable<LaneRecord, "job_id">;
  /** Acknowledged mutations with their receipts, for 30 days (sync/receipts.ts). */
  receipts!: EntityTable<ReceiptRecord, "id">;
  attention!: EntityTable<AttentionRecord, "id">;
  /** Full photos, one record each: never read more than one at a time. */
  photos_full!: EntityTable<PhotoBlobRecord, "id">;
  /** How far each full photo has come; small, so that it can be listed without touching blobs. */
  uploads!: EntityTable<UploadRecord, "id">;
  thumbs!: Table<ThumbRecord, [string, string]>;
  intents!: EntityTable<IntentRecord, "id">;
  drafts!: EntityTable<DraftRecord, "key">;
  /** The pictures of drafts, each small one apart from its full one (local/draft_photos.ts). */
  draft_photos!: Table<DraftPictureRecord, [string, string, PictureSize]>;
  /** About what this person may no longer see (sync/ended_drafts.ts). */
  ended_drafts!: EntityTable<EndedDraftRecord, "key">;
  cursors!: EntityTable<CursorRecord, "job_id">;
  meta!: EntityTable<MetaRecord, "name">;
  settled!: EntityTable<SettledRecord, "id">;
  ballast!: EntityTable<BallastRecord, "id">;

  constructor(principal_id: string) {
    super(`flarenut-${principal_id}`, { chromeTransactionDurability: "strict" });
    this.version(1).stores({
      rows: "[table+id], job_id, table",
      overlay: "++n, job_id, mutation_id, [table+id]",
      outbox: "id, [job_id+seq], entity",
      lanes: "job_id",
      receipts: "id, stored_at, job_id",
      attention: "id, job_id",
      photos_full: "id",
      uploads: "id, job_id",
      thumbs: "[id+size], kept_at",
      intents: "id",
      drafts: "key",
      cursors: "job_id",
      meta: "name",
      ballast: "id",
    });
    this.version(2).stores({ settled: "id" });
    this.version(3)
      .stores({ draft_photos: "[key+sha256+size]", ended_drafts: "key, job_id" })
      .upgrade(partDraftPhotos);
    this.outbox.hook("updating", refuseChange);
    // Another tab with a newer app may need to change the schema: step aside, never block it.
    this.on("versionchange", () => {
      this.close();
      taken();
      return false;
    });
    this.on("close", () => void Promise.resolve().then(() => this.beginAnewIfCleared()));
  }

  /**
   * Closed by the browser: to be opened again, or for good because all was cleared under the app. What was being
   * saved at that moment may lie in it again by now, so that it is not empty.
   */
  private async beginAnewIfCleared(): Promise<void> {
    const isIntact = await hasDevice(this).catch(() => false);
    if (!isIntact) {
      taken();
    }
  }
}

/**
 * Only its place in the lane may change (sync/lanes.ts), and only while it has no receipt. What an older app wrote
 * gets its number in the order of writing then.
 */
function refuseChange(changes: object, _id: string, row: OutboxRecord): void {
  for (const [path, value] of Object.entries(changes)) {
    const isSame = JSON.stringify(Dexie.getByKeyPath(row, path)) === JSON.stringify(value);
    const isPlace = path === "seq" || (path === "written" && row.written === undefined);
    if (!isPlace && !isSame) {
      throw new Error(`an outbox row never changes: ${path}`);
    }
  }
}

let taken = (): void => undefined;

/** What a tab does that can neither read nor save any more: only a fresh start can. */
export function whenTaken(begin: () => void): void {
  taken = begin;
}

/** This tab has found so itself: not every browser closes what it clears. */
export function tellTaken(): void {
  taken();
}

const open = new Map<string, Store>();

export function storeOf(principal_id: string): Store {
  let store = open.get(principal_id);
  if (!store) {
    store = new Store(principal_id);
    open.set(principal_id, store);
  }
  return store;
}
