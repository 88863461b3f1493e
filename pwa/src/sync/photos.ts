/** Which photos are to be sent: after the words that announce them. How they go is in sending.ts. */
import type { UploadRecord } from "../local/records";
import type { Store } from "../local/store";
import type { Line } from "./line";

/**
 * How one upload ended. `later`: nobody answered. `not_now`: the server answered that it cannot, for
 * now. `kept`: it answered that it does not take this photo. `gone`: there is nothing to send any more.
 */
export type Uploaded = "stored" | "later" | "not_now" | "kept" | "gone" | "signed_out";
export type Upload = {
  photo_id: string;
  blob: Blob;
  /** Some bytes may be there already: ask first. */
  isResumed: boolean;
  line: Line;
  /** Told how much of it has left, as a part of the whole. */
  onShare?: OnShare;
};
export type OnShare = (share: number) => void;
export type SendBytes = (upload: Upload) => Promise<Uploaded>;
/** Which photo of how many is on its way, and how much of it has left. */
export type PhotoProgress = { number: number; total: number; share: number };
export type Progress = (progress: PhotoProgress | null) => void;

/**
 * Photos whose announcement has its receipt, stored or at least heard, and that the server does not have yet;
 * oldest first: so their ids go.
 */
export async function readyPhotos(store: Store): Promise<UploadRecord[]> {
  const ready: UploadRecord[] = [];
  for (const upload of await store.uploads.filter(isDue).toArray()) {
    if (await isAnnounced(store, upload.id)) {
      ready.push(upload);
    }
  }
  return ready;
}

export function isWaiting(upload: UploadRecord): boolean {
  return upload.uploaded_at === null && !upload.held;
}

/** A server or a network between that says no to every photo is mended some day, and nobody tells the phone. */
const DECLINED_AGAIN_MS = 600_000; // (P)

function isDue(upload: UploadRecord): boolean {
  const { uploaded_at, declined } = upload;
  if (uploaded_at !== null || !upload.held || !declined) {
    return isWaiting(upload);
  }
  return Math.abs(Date.now() - Date.parse(declined.at)) > DECLINED_AGAIN_MS;
}

/** Photos that the server has said it knows of, where the phone was too full to store that it did. */
const known = new WeakMap<Store, Set<string>>();

export function noteKnown(store: Store, ids: string[]): void {
  known.set(store, new Set([...(known.get(store) ?? []), ...ids]));
}

/** Its receipt is stored: from now on the store says it. */
export function forgetKnown(store: Store, ids: string[]): void {
  for (const id of ids) {
    known.get(store)?.delete(id);
  }
}

async function isAnnounced(store: Store, photo_id: string): Promise<boolean> {
  if (known.get(store)?.has(photo_id)) {
    return true;
  }
  if ((await store.outbox.where("entity").equals(photo_id).count()) > 0) {
    return false;
  }
  const row = await store.rows.get(["photo", photo_id]);
  const overlay = await store.overlay.where("[table+id]").equals(["photo", photo_id]).count();
  return overlay > 0 || row?.fields["state"] === "pending";
}
