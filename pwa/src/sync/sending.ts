/**
 * Sends the bytes of photos; loaded when there is a photo to send. A cut costs at most one piece of each
 * under way: the server is asked how much it has and the rest follows.
 */
import { unlessFull } from "../local/disk";
import type { UploadRecord } from "../local/records";
import type { Store } from "../local/store";
import { decline, tellOfMissing } from "./declined";
import type { Line, Outcome } from "./line";
import { type OnShare, type Progress, readyPhotos, type SendBytes, type Uploaded } from "./photos";
import * as tus from "./tus";

/**
 * On a line this quick several set out together, so that the server looks at one while others come.
 * On any other they go one after the other: words that are written meanwhile wait for them.
 */
const QUICK_MS = 1_000;
const AT_ONCE = 3;
/** So many in a row that the server cannot take now say that it can take none: it is left in peace. (P) */
const MOST_NOT_NOW = 3;
/**
 * How often in a row each photo came to nothing since the app started. After two it goes behind the
 * others, so that one on which the line always breaks holds up none of them.
 */
const inVain = new Map<string, number>();

type Told = { done: number; total: number; tell: Progress };
type Parts = { tell: Progress; sendBytes: SendBytes };

/** `partly`: some have to wait, and the line is there. */
export async function sendPhotos(
  line: Line,
  { tell, sendBytes = tus.sendBytes }: Pick<Parts, "tell"> & { sendBytes?: SendBytes | undefined },
): Promise<Outcome> {
  try {
    return await sendInTurn(line, { tell, sendBytes });
  } finally {
    tell(null);
  }
}

async function sendInTurn(line: Line, { tell, sendBytes }: Parts): Promise<Outcome> {
  const ready = inTurn(await readyPhotos(line.store));
  const resting = new Set(await line.store.outbox.toCollection().primaryKeys());
  const ends: Uploaded[] = [];
  let atOnce = 1;
  while (ends.length < ready.length) {
    const words = await line.store.outbox.toCollection().primaryKeys();
    if (words.some((id) => !resting.has(id))) {
      // Words that were written meanwhile go first; the round that sends them comes back here.
      return "done";
    }
    const began = performance.now();
    const done = ends.length;
    const together = ready.slice(done, done + atOnce);
    const shareOf = sharesOf(together.length, { done, total: ready.length, tell });
    const came = await Promise.all(
      together.map((photo, place) => sendOne(line, { photo, sendBytes, onShare: shareOf(place) })),
    );
    ends.push(...came);
    const stopped = stoppedBy(ends, { came });
    if (stopped) {
      return stopped;
    }
    atOnce = performance.now() - began < QUICK_MS ? AT_ONCE : 1;
  }
  return ends.includes("not_now") ? "partly" : "done";
}

function inTurn(ready: UploadRecord[]): UploadRecord[] {
  const behind = ({ id }: UploadRecord) => Math.floor((inVain.get(id) ?? 0) / 2);
  return ready.toSorted((a, b) => behind(a) - behind(b));
}

function stoppedBy(ends: Uploaded[], { came }: { came: Uploaded[] }): Outcome | undefined {
  if (came.includes("signed_out")) {
    return "signed_out";
  }
  if (came.includes("later")) {
    return "later";
  }
  const last = ends.slice(-MOST_NOT_NOW);
  const isAway = last.length === MOST_NOT_NOW && last.every((ended) => ended === "not_now");
  return isAway ? "partly" : undefined;
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
    await unlessFull(() => tellOfMissing(store, photo.id), { otherwise: undefined });
    return "gone";
  }
  const isResumed = photo.started_at !== null;
  if (!isResumed) {
    await note(store, { id: photo.id, started_at: new Date().toISOString() });
  }
  const { blob } = full;
  const ended = await sendBytes({ photo_id: photo.id, blob, isResumed, line, onShare });
  return await settle(line, { photo, blob, ended });
}

type Sent = { photo: UploadRecord; blob: Blob; ended: Uploaded };

async function settle({ store, wire }: Line, { photo, blob, ended }: Sent): Promise<Uploaded> {
  const { id } = photo;
  if (ended === "stored") {
    inVain.delete(id);
    await note(store, { id, uploaded_at: new Date().toISOString(), held: false });
    return ended;
  }
  if (wire.signal?.aborted) {
    return ended;
  }
  inVain.set(id, (inVain.get(id) ?? 0) + 1);
  // Where the photo cannot be read it is not the line, and the others can be sent.
  const why = ended === "later" && !(await isReadable(blob)) ? "damaged" : "not_taken";
  if (ended === "kept" || why === "damaged") {
    await unlessFull(() => decline(store, { id, why }), { otherwise: undefined });
    return "kept";
  }
  return ended;
}

async function isReadable(blob: Blob): Promise<boolean> {
  try {
    await blob.arrayBuffer();
    return true;
  } catch {
    return false;
  }
}

/** A phone too full to note it sends all the same: that makes room. The server knows a photo by its id. */
async function note(store: Store, { id, ...change }: Partial<UploadRecord> & { id: string }) {
  await unlessFull(() => store.uploads.update(id, change), { otherwise: 0 });
}
