/** Rule 19: the photos of a draft are one record each, and no stroke, letter or further photo writes them anew. */
import { Dexie } from "dexie";
import { beforeEach, expect, test } from "vitest";
import { readDraft, readDraftPhotos, saveDraft, saveDraftPhotos } from "../actions/drafts";
import type { PreparedPhoto } from "../photo/prepare";
import { aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { keepBallast } from "./disk";
import { readDraftPhotos as photosIn } from "./draft_photos";
import { photosKey } from "./drafts";
import type { Mark } from "./rows";
import { Store } from "./store";
import { uuid7 } from "./uuid7";

const KEY = "log:job-1:u1";
const ring: Mark = {
  tool: "ring",
  points: [
    [0, 0],
    [1, 1],
  ],
};
const [first, second, third] = ["1", "2", "3"].map((digit) => ({
  ...aPhoto(),
  sha256: digit.repeat(64),
  full: new Blob([`large ${digit}`]),
  thumb: new Blob([`small ${digit}`]),
})) as [PreparedPhoto, PreparedPhoto, PreparedPhoto];

let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

/** From now on: which pictures are written. */
function watchWriting(): string[] {
  const written: string[] = [];
  store.draft_photos.hook("creating", (_key, picture) => {
    written.push(`${picture.sha256[0]} ${picture.size}`);
  });
  store.draft_photos.hook("updating", (_changes, _key, picture) => {
    written.push(`${picture.sha256[0]} ${picture.size}`);
  });
  return written;
}

const pictures = async () =>
  (await store.draft_photos.toCollection().primaryKeys()).map(([, sha256, size]) => [
    sha256[0],
    size,
  ]);

async function words(blob: Blob | undefined): Promise<string | undefined> {
  return await blob?.text();
}

test("each photo is a record of its own, its small picture apart, and they come back in order with their marks", async () => {
  await saveDraftPhotos(KEY, [second]);
  await saveDraftPhotos(KEY, [second, first]);
  await saveDraftPhotos(KEY, [second, { ...first, marks: [ring] }]);

  const back = (await readDraftPhotos(KEY)) ?? [];

  expect(back.map(({ sha256, marks }) => [sha256, marks])).toEqual([
    [second.sha256, undefined],
    [first.sha256, [ring]],
  ]);
  expect(await Promise.all(back.map(({ full }) => words(full)))).toEqual(["large 2", "large 1"]);
  expect(await Promise.all(back.map(({ thumb }) => words(thumb)))).toEqual(["small 2", "small 1"]);
  expect(await pictures()).toEqual([
    ["1", "full"],
    ["1", "thumb"],
    ["2", "full"],
    ["2", "thumb"],
  ]);
});

test("a stroke, a letter and a further photo write no picture that is kept already", async () => {
  await saveDraftPhotos(KEY, [first]);
  const written = watchWriting();

  await saveDraftPhotos(KEY, [{ ...first, marks: [ring] }]);
  await saveDraft(KEY, { words: "oil" });
  const byThen = [...written];
  await saveDraftPhotos(KEY, [{ ...first, marks: [ring] }, second]);

  expect(byThen).toEqual([]);
  expect(written).toEqual(["2 full", "2 thumb"]);
});

test("a photo that is taken out again goes with its pictures, and the last one leaves nothing", async () => {
  await saveDraftPhotos(KEY, [first, second]);

  await saveDraftPhotos(KEY, [second], { before: [first, second] });
  const one = await pictures();
  await saveDraftPhotos(KEY, [], { before: [second] });

  expect(one.map(([digit]) => digit)).toEqual(["2", "2"]);
  expect(await pictures()).toEqual([]);
  expect(await store.drafts.count()).toBe(0);
});

test("the photos of two drafts are kept apart, though one key begins like the other", async () => {
  await saveDraftPhotos(KEY, [first]);
  await saveDraftPhotos(`${KEY}2`, [first]);

  await saveDraftPhotos(KEY, [], { before: [first] });

  expect(await readDraftPhotos(KEY)).toBeUndefined();
  expect(await readDraftPhotos(`${KEY}2`)).toHaveLength(1);
});

test("a photo for which the phone has no room takes neither the others nor what is drawn on them", async () => {
  await saveDraftPhotos(KEY, [first]);
  store.draft_photos.hook("creating", () => {
    throw new DOMException("no room", "QuotaExceededError");
  });

  const end = await saveDraftPhotos(KEY, [first, second]);
  const drawn = await saveDraftPhotos(KEY, [{ ...first, marks: [ring] }, second]);

  expect([end, drawn]).toEqual(["full", "full"]);
  expect(await readDraftPhotos(KEY)).toMatchObject([{ sha256: first.sha256, marks: [ring] }]);
});

test("a photo for which there is no room leaves the room that is kept for words; a stroke may use it", async () => {
  await saveDraftPhotos(KEY, [first]);
  await keepBallast(store);
  const isFull = async () => (await store.ballast.count()) > 0;
  let full = await isFull();
  const refuse = () => {
    if (full) throw new DOMException("no room", "QuotaExceededError");
  };
  store.draft_photos.hook("creating", refuse);
  store.drafts.hook("updating", refuse);
  store.ballast.hook("deleting", () => {
    full = false;
  });

  await saveDraftPhotos(KEY, [first, second]);
  const kept = await store.ballast.count();
  await saveDraftPhotos(KEY, [{ ...first, marks: [ring] }]);

  expect(kept).toBe(1);
  expect(await store.ballast.count()).toBe(0);
  expect(await readDraftPhotos(KEY)).toMatchObject([{ sha256: first.sha256, marks: [ring] }]);
});

test("a draft that was saved while the phone was found full does not come back", async () => {
  store.draft_photos.hook("creating", () => {
    throw new DOMException("no room", "QuotaExceededError");
  });

  await saveDraftPhotos(KEY, [first]);

  expect(await store.drafts.count()).toBe(0);
});

test("an update carries the drafts of an app that kept all photos of one in a single record", async () => {
  const name = uuid7();
  const before = new Dexie(`flarenut-${name}`);
  before.version(2).stores({ drafts: "key" });
  const saved_at = "2026-11-25T09:00:00.000Z";
  await before.table("drafts").bulkPut([
    { key: KEY, value: { words: "oil" }, saved_at },
    { key: photosKey(KEY), value: { photos: [third, { ...first, marks: [ring] }] }, saved_at },
    { key: "unit:u2", value: { words: "kept" }, saved_at },
    { key: photosKey("unit:u2"), value: { photos: [second] }, saved_at },
  ]);
  before.close();

  const updated = new Store(name);
  const back = await photosIn(updated, KEY);

  expect(back?.map(({ sha256, marks }) => [sha256, marks])).toEqual([
    [third.sha256, undefined],
    [first.sha256, [ring]],
  ]);
  expect(await words(back?.[1]?.full)).toBe("large 1");
  expect(await words(back?.[0]?.thumb)).toBe("small 3");
  expect(await photosIn(updated, "unit:u2")).toHaveLength(1);
  expect((await updated.drafts.get(KEY))?.value).toEqual({ words: "oil" });
  const facts = await updated.drafts.get(photosKey(KEY));
  expect(JSON.stringify(facts)).not.toMatch(/full|thumb/);
  expect(facts?.saved_at).toBe(saved_at);
});

test("what is typed beside the photos is another record", async () => {
  await saveDraftPhotos(KEY, [first]);
  await saveDraft(KEY, { words: "oil" });

  expect(await readDraft(KEY)).toEqual({ words: "oil" });
  expect(await readDraftPhotos(KEY)).toHaveLength(1);
});
