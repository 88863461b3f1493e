/** One photo that cannot be sent holds up none of the others, and its author is told. */
import { beforeEach, expect, test, vi } from "vitest";
import { canGoAgain, resendPhoto } from "../actions/resendPhoto";
import { countWaiting } from "../queries/sync";
import { anIssue, aPhoto, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import { letGoOfPhoto } from "./photo_state";
import { readyPhotos, type SendBytes, type Uploaded } from "./photos";
import { pull } from "./pull";
import { exchangePhotos, exchangeWords } from "./round";
import { sendPhotos } from "./sending";

let server: FakeServer;
let ben: Phone;
let photos: string[];

beforeEach(async () => {
  vi.useRealTimers();
  server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change(job);
  photos = [];
  await photosThatWait(3);
});

const tell = () => undefined;
const attention = async () => await ben.store.attention.toArray();

async function photosThatWait(count: number): Promise<void> {
  for (let made = 0; made < count; made += 1) {
    await anIssue({ jobId: "job-1", photo: aPhoto() });
  }
  await exchangeWords(ben.line);
  photos = await ben.store.uploads.toCollection().primaryKeys();
}

/** What becomes of each photo, by its place; the others arrive. */
function sending(ends: Record<number, Uploaded>) {
  const tried: number[] = [];
  const sendBytes: SendBytes = async ({ photo_id }) => {
    const place = photos.indexOf(photo_id);
    tried.push(place);
    return ends[place] ?? "stored";
  };
  return { sendBytes, tried };
}

/** A store whose blob of this photo can no longer be read. */
function damage(photo: string): void {
  ben.store.photos_full.hook("reading", (kept) => {
    if (kept.id === photo) {
      kept.blob.arrayBuffer = () => Promise.reject(new DOMException("", "NotReadableError"));
    }
    return kept;
  });
}

test("a photo that the server cannot take now rests, and the others go in the same round", async () => {
  const { sendBytes } = sending({ 0: "not_now" });

  const ended = await sendPhotos(ben.line, { sendBytes, tell });

  expect(ended).toBe("partly");
  expect((await readyPhotos(ben.store)).map((one) => one.id)).toEqual([photos[0]]);
});

test("a photo that rests does not keep the names of people and small pictures from coming", async () => {
  const { sendBytes } = sending({ 0: "not_now" });

  const ended = await exchangePhotos(ben.line, { tell, sendBytes });

  expect(ended).toBe("partly");
  expect(server.log.map(({ path }) => path)).toContain("/api/people");
});

test("a line on which nobody answers is left alone after one photo", async () => {
  const { sendBytes, tried } = sending({ 0: "later", 1: "later", 2: "later" });

  const ended = await sendPhotos(ben.line, { sendBytes, tell });

  expect(ended).toBe("later");
  expect(tried).toEqual([0]);
});

test("a server that can take none of three is left alone until the next round", async () => {
  await photosThatWait(2);
  const { sendBytes, tried } = sending({ 0: "not_now", 1: "not_now", 2: "not_now", 3: "not_now" });
  vi.spyOn(performance, "now").mockImplementation(() => tried.length * 5_000);

  await sendPhotos(ben.line, { sendBytes, tell });
  vi.restoreAllMocks();

  expect(tried).toEqual([0, 1, 2]);
});

test("a photo on which the line breaks each time goes behind the others", async () => {
  const { sendBytes, tried } = sending({ 0: "later" });
  vi.spyOn(performance, "now").mockImplementation(() => tried.length * 5_000);

  await sendPhotos(ben.line, { sendBytes, tell });
  await sendPhotos(ben.line, { sendBytes, tell });
  await sendPhotos(ben.line, { sendBytes, tell });
  vi.restoreAllMocks();

  expect(tried).toEqual([0, 0, 1, 2, 0]);
  expect((await readyPhotos(ben.store)).map((one) => one.id)).toEqual([photos[0]]);
});

test("a photo that this phone can no longer read is told, and the others go", async () => {
  damage(photos[0] ?? "");
  const { sendBytes } = sending({ 0: "later" });

  const ended = await sendPhotos(ben.line, { sendBytes, tell });

  expect(ended).toBe("done");
  expect(await countWaiting(ben.store)).toMatchObject({ photos_waiting: 0, attention: 1 });
  expect(await attention()).toMatchObject([{ id: photos[0], outcome: "photo_damaged" }]);
});

test("a photo that the server does not take is told after a few rounds, and no longer tried in each", async () => {
  const { sendBytes, tried } = sending({ 0: "kept" });
  await sendPhotos(ben.line, { sendBytes, tell });
  const first = await attention();

  for (let round = 0; round < 5; round += 1) {
    await sendPhotos(ben.line, { sendBytes, tell });
  }

  expect(first).toEqual([]);
  expect(tried.filter((place) => place === 0)).toHaveLength(3);
  expect(await countWaiting(ben.store)).toMatchObject({ photos_waiting: 0, attention: 1 });
  expect(await attention()).toMatchObject([{ id: photos[0], outcome: "photo_not_taken" }]);
  expect(await ben.store.photos_full.get(photos[0] ?? "")).toBeDefined();
});

test("what said no to a photo may be mended: it is tried again now and then, and then needs nobody", async () => {
  const { sendBytes } = sending({ 0: "kept" });
  for (let round = 0; round < 3; round += 1) {
    await sendPhotos(ben.line, { sendBytes, tell });
  }
  vi.useFakeTimers({ toFake: ["Date"], now: Date.now() + 11 * 60_000 });

  await sendPhotos(ben.line, { sendBytes: sending({}).sendBytes, tell });
  const fields = { state: "stored" };
  server.change({ table: "photo", id: photos[0] ?? "", job_id: "job-1", fields });
  await pull(ben.line);

  expect(await ben.store.photos_full.get(photos[0] ?? "")).toBeUndefined();
  expect(await attention()).toEqual([]);
});

test("its author may send it again at once, and hears of the next no without waiting for more", async () => {
  const { sendBytes } = sending({ 0: "kept" });
  for (let round = 0; round < 3; round += 1) {
    await sendPhotos(ben.line, { sendBytes, tell });
  }

  const again = await resendPhoto(photos[0] ?? "");

  expect(again).toMatchObject({ ok: true });
  expect(await countWaiting(ben.store)).toMatchObject({ photos_waiting: 1, attention: 0 });
  await sendPhotos(ben.line, { sendBytes, tell });
  expect(await attention()).toMatchObject([{ id: photos[0], outcome: "photo_not_taken" }]);
  await resendPhoto(photos[0] ?? "");
  await sendPhotos(ben.line, { sendBytes: sending({}).sendBytes, tell });
  expect(await countWaiting(ben.store)).toMatchObject({ photos_waiting: 0, attention: 0 });
  expect(await ben.store.uploads.get(photos[0] ?? "")).toMatchObject({ held: false });
});

test("a photo that was not taken and is no longer theirs to send says so, and offers no second try", async () => {
  const { sendBytes } = sending({ 0: "kept" });
  for (let round = 0; round < 3; round += 1) {
    await sendPhotos(ben.line, { sendBytes, tell });
  }
  expect(await attention()).toMatchObject([{ outcome: "photo_not_taken" }]);

  const { store } = ben;
  const tables = [store.uploads, store.photos_full, store.thumbs, store.attention];
  await store.transaction("rw", tables, () => letGoOfPhoto(store, photos[0] ?? ""));

  const [told] = await attention();
  expect(told).toMatchObject({ id: photos[0], outcome: "photo_unsent" });
  expect(told && canGoAgain(told.outcome)).toBe(false);
});

test("a photo whose bytes this phone no longer has is told, not forgotten", async () => {
  await ben.store.photos_full.delete(photos[0] ?? "");

  await sendPhotos(ben.line, { sendBytes: sending({}).sendBytes, tell });

  expect(await ben.store.uploads.get(photos[0] ?? "")).toBeUndefined();
  expect(await attention()).toMatchObject([{ id: photos[0], outcome: "photo_gone" }]);
});

test("a photo that was given up while others went is not told again", async () => {
  const given = photos[1] ?? "";
  const sendBytes: SendBytes = async () => {
    await ben.store.photos_full.delete(given);
    await ben.store.uploads.delete(given);
    return "stored";
  };

  await sendPhotos(ben.line, { sendBytes, tell });

  expect(await attention()).toEqual([]);
});
