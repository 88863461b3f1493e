/**
 * Sends the bytes of photos; loaded when there is a photo to send. A cut costs at most one piece of each
 * under way: the server is asked how much it has and the rest follows.
 */
import { unlessFull } from "../local/disk";
import type { UploadRecord } from "../local/records";
import type { Store } from "../local/store";
import type { Ended, Line } from "./line";
import { type OnShare, type Progress, readyPhotos, type SendBytes, type Uploaded } from "./photos";
import * as tus from "./tus";

/**
 * On a line this quick several set out together, so that the server looks at one while others come.
 * On any other they go one after the other: words that are written meanwhile wait for them.
 */
const QUICK_MS = 1_000;
const AT_ONCE = 3;

type Told = { done: number; total: number; tell: Progress };

export async function sendPhotos(
  line: Line,
  { tell, sendBytes = tus.sendBytes }: { tell: Progress; sendBytes?: SendBytes | undefined },
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
