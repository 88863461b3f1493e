/** Small pictures of photos that other phones took: kept, so that they show with no signal. */
import { hasBallast, requireBallast, unlessFull } from "../local/disk";
import type { BaseRecord, ThumbRecord } from "../local/records";
import type { Store } from "../local/store";
import { REQUEST_TIMEOUT_MS } from "./http";
import type { Line } from "./line";
import { tryAgain } from "./silence";

export type Size = "thumb" | "large";
/** Pixels of the longer side of the server's renditions. */
const PIXELS: Record<Size, number> = { thumb: 320, large: 1280 };
/** One round fetches no more than this ahead, so that words and photos to send get their turn. */
const AHEAD = 40;
/** About 20 MB. (P) */
const LARGE_KEPT = 60;
/**
 * Asked for since the app started, and not to be had, by id and rev: an idle round asks for nothing. Once the row of
 * the photo has changed or has come anew, it is asked again.
 */
const nowhere = new Set<string>();
const OPEN_STATES = new Set(["open", "answered", "sent_back"]);

/** A rendition from this phone, else from the server; undefined when there is neither. */
export async function rendition(
  line: Line,
  { id, size }: { id: string; size: Size },
): Promise<Blob | undefined> {
  const kept = await line.store.thumbs.get([id, size]);
  return kept?.blob ?? (await fetchRendition(line, { id, size }));
}

async function fetchRendition(
  { store, wire }: Line,
  { id, size }: { id: string; size: Size },
): Promise<Blob | undefined> {
  const path = `/api/photos/${id}/${PIXELS[size]}`;
  const blob = await tryAgain(wire, { bytes: 0, once: (one) => fetchBlob(path, one) });
  if (blob === "none") {
    const row = await store.rows.get(["photo", id]);
    if (row) nowhere.add(asItIs(row));
    return undefined;
  }
  if (!blob?.type.startsWith("image/")) {
    return undefined;
  }
  await keep(store, { id, size, blob, kept_at: new Date().toISOString() });
  return blob;
}

/**
 * A full phone keeps no pictures that can be fetched again, and none keeps one of a photo that went with
 * access to its job while the picture was on its way.
 */
async function keep(store: Store, record: ThumbRecord): Promise<void> {
  const { rows, uploads, thumbs, ballast } = store;
  const put = async () => {
    if (!((await rows.get(["photo", record.id])) ?? (await uploads.get(record.id)))) {
      return;
    }
    await requireBallast(store);
    await thumbs.put(record);
    await pruneLarge(store);
  };
  const tables = [rows, uploads, thumbs, ballast];
  await unlessFull(() => store.transaction("rw", tables, put), { otherwise: undefined });
}

/** The small pictures stay; of the large ones those looked at last. Only keys are read. */
async function pruneLarge(store: Store): Promise<void> {
  const keys = await store.thumbs.orderBy("kept_at").primaryKeys();
  const large = keys.filter(([, kept]) => kept === "large");
  await store.thumbs.bulkDelete(large.slice(0, Math.max(0, large.length - LARGE_KEPT)));
}

async function fetchBlob(path: string, wire: Line["wire"]): Promise<Blob | "none" | undefined> {
  try {
    const response = await wire.fetch(path, {
      headers: { "X-Flarenut-As": wire.as },
      credentials: "same-origin",
      cache: "no-store", // what is kept of it lies in the store, and goes from there when access ends
      signal: AbortSignal.any([
        AbortSignal.timeout(REQUEST_TIMEOUT_MS),
        ...(wire.signal ? [wire.signal] : []),
      ]),
    });
    // A round that fetches many on a poor line is not silent.
    wire.alive?.();
    if (response.status === 404) {
      return "none";
    }
    return response.ok ? await response.blob() : undefined;
  } catch {
    // No signal: the screen shows that the picture is not on this phone yet.
    return undefined;
  }
}

/** What a person will want to see in the basement: the photos of issues that are not closed. */
export async function keepThumbsOfOpenIssues(line: Line): Promise<void> {
  for (const photo of (await missingThumbs(line.store)).slice(0, AHEAD)) {
    if (!(await hasBallast(line.store))) {
      return;
    }
    const fetched = await fetchRendition(line, { id: photo.id, size: "thumb" });
    if (!fetched && !nowhere.has(asItIs(photo))) {
      return;
    }
  }
}

function asItIs({ id, rev }: Pick<BaseRecord, "id" | "rev">): string {
  return `${id} ${rev}`;
}

function forgetNowhere(photos: BaseRecord[]): void {
  const known = new Set(photos.map(asItIs));
  for (const one of nowhere) {
    if (!known.has(one)) nowhere.delete(one);
  }
}

async function missingThumbs(store: Store): Promise<BaseRecord[]> {
  const photos = await store.rows.where("table").equals("photo").toArray();
  forgetNowhere(photos);
  const missing: BaseRecord[] = [];
  for (const photo of photos.filter(({ fields }) => fields["state"] === "stored")) {
    const { id, fields } = photo;
    const issue = await store.rows.get(["issue", String(fields["issue_id"])]);
    const isOpen = OPEN_STATES.has(String(issue?.fields["state"]));
    const isKept = (await store.thumbs.where("[id+size]").equals([id, "thumb"]).count()) > 0;
    if (isOpen && !isKept && !nowhere.has(asItIs(photo))) {
      missing.push(photo);
    }
  }
  return missing;
}
