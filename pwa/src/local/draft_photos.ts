/**
 * The photos of a draft: their facts in one small record, in order and with what is drawn on them, and each
 * picture in a record of its own, so that neither a letter, a stroke nor a further photo writes one anew.
 */
import { Dexie, type Transaction } from "dexie";
import { requireBallast } from "./disk";
import { isSame } from "./draft_merge";
import { isOver, notePress, tellCleared } from "./draft_saves";
import { entryOf, isPhotosKey, photosKey } from "./drafts";
import type { DraftPhoto, DraftPictureRecord, PictureSize } from "./records";
import type { Store } from "./store";

export type WithPictures = DraftPhoto & { full: Blob; thumb: Blob };
type PictureKey = [string, string, PictureSize];
export type PhotosOfDraft = {
  key: string;
  photos: WithPictures[];
  /** What this tab last knew to be stored: photos that another tab added since stay. */
  before: DraftPhoto[];
  /** When it was changed (`turnOf`): what was saved since is not written again. */
  turn: number;
  saved_at: string;
};

/** What this tab added, took out and drew goes over what is stored, and nothing else does. */
export function photosLaidOver<P extends DraftPhoto>(
  stored: P[],
  { before, now }: { before: DraftPhoto[]; now: P[] },
): P[] {
  const isOut = ({ sha256 }: P) => photoIn(before, sha256) && !photoIn(now, sha256);
  const isNew = ({ sha256 }: P) => !photoIn(before, sha256) && !photoIn(stored, sha256);
  const drawn = (photo: P) => {
    const mine = photoIn(now, photo.sha256);
    const isDrawnOn = mine && !isSame(mine.marks ?? [], photoIn(before, mine.sha256)?.marks ?? []);
    return isDrawnOn ? { ...photo, marks: mine.marks } : photo;
  };
  return [...stored.filter((photo) => !isOut(photo)).map(drawn), ...now.filter(isNew)];
}

function photoIn<P extends DraftPhoto>(photos: P[], sha256: string): P | undefined {
  return photos.find((photo) => photo.sha256 === sha256);
}

/** In one transaction: all of them, or none of what is new. Pictures that are here are not written again. */
export async function putDraftPhotos(store: Store, draft: PhotosOfDraft): Promise<void> {
  const { key, photos, before, turn, saved_at } = draft;
  await store.transaction("rw", store.drafts, store.draft_photos, store.ballast, async () => {
    const here = await pictureKeys(store, key);
    if (isOver(key, turn)) return;
    const stored = factsIn((await store.drafts.get(photosKey(key)))?.value);
    const left = photosLaidOver(stored, { before, now: photos.map(factsOf) });
    const wanted = photos.flatMap((photo) => picturesOf(key, photo));
    const isIn = ({ sha256 }: { sha256: string }) => here.some(([, known]) => known === sha256);
    const fresh = wanted.filter((picture) => !isIn(picture) && photoIn(left, picture.sha256));
    if (fresh.length > 0) {
      await requireBallast(store);
    }
    await store.draft_photos.bulkPut(fresh);
    await store.draft_photos.bulkDelete(here.filter(([, sha256]) => !photoIn(left, sha256)));
    if (left.length > 0) {
      await store.drafts.put({ key: photosKey(key), value: { photos: left }, saved_at });
    } else {
      await store.drafts.delete(photosKey(key));
    }
  });
}

/**
 * On a phone with no room for the newest: those whose pictures are kept stay as they are now, with what was
 * drawn on them since. What was saved or cleared meanwhile is left alone, and where nothing was drawn nothing
 * is written: a photo must not eat the room that is kept for words.
 */
export async function putKeptDraftPhotos(store: Store, draft: PhotosOfDraft): Promise<void> {
  await store.transaction("rw", store.drafts, store.draft_photos, store.ballast, async () => {
    const known = await store.drafts.get(photosKey(draft.key));
    if (known && known.saved_at <= draft.saved_at) {
      const here = new Set((await pictureKeys(store, draft.key)).map(([, sha256]) => sha256));
      const photos = draft.photos.filter(({ sha256 }) => here.has(sha256));
      const stored = factsIn(known.value);
      const now = photos.map(factsOf);
      if (!isSame(photosLaidOver(stored, { before: draft.before, now }), stored)) {
        await putDraftPhotos(store, { ...draft, photos });
      }
    }
  });
}

/** Undefined where the draft has none. One picture at a time, by its key; those in `known` are not read again. */
export async function readDraftPhotos(
  store: Store,
  key: string,
  { known = [] }: { known?: WithPictures[] } = {},
): Promise<WithPictures[] | undefined> {
  const facts = factsIn((await store.drafts.get(photosKey(key)))?.value);
  const photos: WithPictures[] = [];
  for (const photo of facts) {
    const same = photoIn(known, photo.sha256);
    if (same) {
      photos.push({ ...photo, full: same.full, thumb: same.thumb });
      continue;
    }
    const full = await store.draft_photos.get([key, photo.sha256, "full"]);
    const thumb = await store.draft_photos.get([key, photo.sha256, "thumb"]);
    if (full && thumb) {
      photos.push({ ...photo, full: full.blob, thumb: thumb.blob });
    }
  }
  return photos.length > 0 ? photos : undefined;
}

/** What the record under `photosKey` says. */
export function factsIn(value: unknown): DraftPhoto[] {
  return (value as { photos?: DraftPhoto[] } | undefined)?.photos ?? [];
}

export async function pictureKeys(store: Store, key: string): Promise<PictureKey[]> {
  const all = store.draft_photos.where(":id");
  return await all.between([key, Dexie.minKey], [key, Dexie.maxKey]).primaryKeys();
}

/** Inside a transaction: nothing of it stays, and nothing that was typed before that turn comes back. */
export async function deleteDraft(store: Store, key: string, turn = notePress(key)): Promise<void> {
  await store.drafts.bulkDelete([key, photosKey(key)]);
  await store.draft_photos.bulkDelete(await pictureKeys(store, key));
  await store.ended_drafts.delete(key);
  // Once it is certain: a save that finds no room leaves the draft where it was.
  Dexie.currentTransaction.on("complete", () => tellCleared(key, turn));
}

function factsOf({ full: _full, thumb: _thumb, ...facts }: WithPictures): DraftPhoto {
  return facts;
}

function picturesOf(key: string, { sha256, full, thumb }: WithPictures): DraftPictureRecord[] {
  return [
    { key, sha256, size: "full", blob: full },
    { key, sha256, size: "thumb", blob: thumb },
  ];
}

/** Drafts of an app that kept all photos of one in a single record: one such record at a time. */
export async function partDraftPhotos(change: Transaction): Promise<void> {
  const drafts = change.table("drafts");
  for (const id of (await drafts.toCollection().primaryKeys()).map(String).filter(isPhotosKey)) {
    const draft = await drafts.get(id);
    const whole: WithPictures[] = draft.value.photos ?? [];
    const pictures = whole.flatMap((photo) => picturesOf(entryOf(id), photo));
    await change.table("draft_photos").bulkPut(pictures);
    await drafts.put({ ...draft, value: { photos: whole.map(factsOf) } });
  }
}
