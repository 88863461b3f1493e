/**
 * Sends the bytes of photos after the words that announce them. A cut costs at most one piece of each
 * under way: the server is asked how much it has and the rest follows.
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
  onShare?: OnShare;
};
export type SendBytes = (upload: Upload) => Promise<Uploaded>;
/** Which photo of how many is on its way, and how much of it has left. */
export type PhotoProgress = { number: number; total: number; share: number };
export type Progress = (progress: PhotoProgress | null) => void;
type OnShare = (share: number) => void;
type Told = { done: number; total: number; tell: Progress };

/**
 * On a line this quick several set out together, so that the server looks at one while others come.
 * On any other they go one after the other: words that are written meanwhile wait for them.
 */
const QUICK_MS = 1_000;
const AT_ONCE = 3;

export async function sendPhotos(
  line: Line,
  { sendBytes, tell }: { sendBytes: SendBytes; tell: Progress },
): Promise<Ended> {
  const ready = await readyPhotos(line.store);
  const resting = new Set(await line.store.outbox.toCollection().primaryKeys());
  try {
    let atOnce = 1;
    for (let done = 0; done < ready.length; ) {
      const words = await line.store.outbox.toCollection().primaryKeys();
      if (words.some((id) => !resting.has(id))) {
        // Words that were written meanwhile go first; the round that sends them comes back here.
        return "done";
      }
      const began = performance.now();
      const together = ready.slice(done, done + atOnce);
      const shareOf = sharesOf(together.length, { done, total: ready.length, tell });
      const ends = await Promise.all(
        together.map((photo, place) =>
          sendOne(line, { photo, sendBytes, onShare: shareOf(place) }),
        ),
      );
      const stopped = ends.find((ended) => ended === "later" || ended === "signed_out");
      if (stopped) {
        return stopped;
      }
      done += together.length;
      atOnce = performance.now() - began < QUICK_MS ? AT_ONCE : 1;
    }
    return "done";
  } finally {
    tell(null);
  }
}

/** Of those that set out together, the first that has not left whole is told of. */
function sharesOf(count: number, { done, total, tell }: Told): (place: number) => OnShare {
  const shares = Array.from({ length: count }, () => 0);
  const tellFirst = () => {
    const under = shares.findIndex((share) => share < 1);
    const place = under < 0 ? count - 1 : under;
    tell({ number: done + place + 1, total, share: shares[place] ?? 0 });
  };
  tellFirst();
  return (place) => (share) => {
    shares[place] = share;
    tellFirst();
  };
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
  onShare: OnShare;
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
