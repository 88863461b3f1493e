/**
 * Sends the bytes of photos, one photo after the other, after the words that announce them. A cut
 * costs at most one piece: the server is asked how much it has and the rest follows.
 */
import { unlessFull } from "../local/disk";
import type { UploadRecord } from "../local/records";
import type { Store } from "../local/store";
import type { Ended, Line } from "./line";

/** How one upload ended; `kept` is a photo that the server will not take now (its row is refused). */
export type Uploaded = "stored" | "later" | "signed_out" | "kept";
export type Upload = {
  photo_id: string;
  blob: Blob;
  /** Some bytes may be there already: ask first. */
  isResumed: boolean;
  line: Line;
  /** Told how much of it has left, as a part of the whole. */
  onShare?: (share: number) => void;
};
export type SendBytes = (upload: Upload) => Promise<Uploaded>;
/** Which photo of how many is on its way, and how much of it has left. */
export type PhotoProgress = { number: number; total: number; share: number };
export type Progress = (progress: PhotoProgress | null) => void;

export async function sendPhotos(
  line: Line,
  { sendBytes, tell }: { sendBytes: SendBytes; tell: Progress },
): Promise<Ended> {
  const ready = await readyPhotos(line.store);
  const resting = new Set(await line.store.outbox.toCollection().primaryKeys());
  try {
    for (const [done, photo] of ready.entries()) {
      const words = await line.store.outbox.toCollection().primaryKeys();
      if (words.some((id) => !resting.has(id))) {
        // Words that were written meanwhile go first; the round that sends them comes back here.
        return "done";
      }
      const onShare = (share: number) => tell({ number: done + 1, total: ready.length, share });
      onShare(0);
      const ended = await sendOne(line, { photo, sendBytes, onShare });
      if (ended === "later" || ended === "signed_out") {
        return ended;
      }
    }
    return "done";
  } finally {
    tell(null);
  }
}

/** Photos whose announcement has its receipt and that the server does not have yet, oldest first. */
export async function readyPhotos(store: Store): Promise<UploadRecord[]> {
  const uploads = await store.uploads.filter(isWaiting).toArray();
  const ready: UploadRecord[] = [];
  for (const upload of uploads.toSorted((a, b) => a.id.localeCompare(b.id))) {
    if (await isAnnounced(store, upload.id)) {
      ready.push(upload);
    }
  }
  return ready;
}

export function isWaiting(upload: UploadRecord): boolean {
  return upload.uploaded_at === null && !upload.held;
}

async function isAnnounced(store: Store, photo_id: string): Promise<boolean> {
  if ((await store.outbox.where("entity").equals(photo_id).count()) > 0) {
    return false;
  }
  const row = await store.rows.get(["photo", photo_id]);
  const overlay = await store.overlay.where("[table+id]").equals(["photo", photo_id]).count();
  return overlay > 0 || row?.fields["state"] === "pending";
}

type Sending = {
  photo: UploadRecord;
  sendBytes: SendBytes;
  onShare: (share: number) => void;
};

async function sendOne(line: Line, { photo, sendBytes, onShare }: Sending): Promise<Uploaded> {
  const { store } = line;
  const full = await store.photos_full.get(photo.id);
  if (!full) {
    await store.uploads.delete(photo.id);
    return "kept";
  }
  const isResumed = photo.started_at !== null;
  if (!isResumed) {
    await note(store, { id: photo.id, started_at: new Date().toISOString() });
  }
  const ended = await sendBytes({ photo_id: photo.id, blob: full.blob, isResumed, line, onShare });
  if (ended === "stored") {
    await note(store, { id: photo.id, uploaded_at: new Date().toISOString() });
  }
  return ended;
}

/** A phone too full to note it sends all the same: that makes room. The server knows a photo by its id. */
async function note(store: Store, { id, ...change }: Partial<UploadRecord> & { id: string }) {
  await unlessFull(() => store.uploads.update(id, change), { otherwise: 0 });
}
