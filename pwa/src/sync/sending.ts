/**
 * Sends the bytes of photos; loaded when there is a photo to send. A cut costs at most one piece of each
 * under way: the server is asked how much it has and the rest follows.
 */
import type { UploadRecord } from "../local/records";
import type { Ended, Line } from "./line";
import { type Progress, readyPhotos, type SendBytes, type Uploaded } from "./photos";
import * as tus from "./tus";

/**
 * On a line this quick several set out together, so that the server looks at one while others come.
 * On any other they go one after the other: words that are written meanwhile wait for them.
 */
const QUICK_MS = 1_000;
const AT_ONCE = 3;

export async function sendPhotos(
  line: Line,
  { tell, sendBytes = tus.sendBytes }: { tell: Progress; sendBytes?: SendBytes | undefined },
): Promise<Ended> {
  const ready = await readyPhotos(line.store);
  try {
    let atOnce = 1;
    for (let done = 0; done < ready.length; ) {
      if ((await line.store.outbox.count()) > 0) {
        // Words that were written meanwhile go first; the round that sends them comes back here.
        return "done";
      }
      tell({ done, total: ready.length });
      const began = performance.now();
      const together = ready.slice(done, done + atOnce);
      const ends = await Promise.all(together.map((photo) => sendOne(line, { photo, sendBytes })));
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

async function sendOne(
  line: Line,
  { photo, sendBytes }: { photo: UploadRecord; sendBytes: SendBytes },
): Promise<Uploaded> {
  const { store } = line;
  const full = await store.photos_full.get(photo.id);
  if (!full) {
    await store.uploads.delete(photo.id);
    return "kept";
  }
  const isResumed = photo.started_at !== null;
  if (!isResumed) {
    await store.uploads.update(photo.id, { started_at: new Date().toISOString() });
  }
  const ended = await sendBytes({ photo_id: photo.id, blob: full.blob, isResumed, line });
  if (ended === "stored") {
    await store.uploads.update(photo.id, { uploaded_at: new Date().toISOString() });
  }
  return ended;
}
