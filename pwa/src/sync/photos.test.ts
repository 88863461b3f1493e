import { beforeEach, expect, onTestFinished, test, vi } from "vitest";
import { dismissAttention, resendMutation } from "../actions/resendMutation";
import { countWaiting } from "../queries/sync";
import { anIssue, aPhoto, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { readyPhotos, type SendBytes } from "./photos";
import { pull } from "./pull";
import { push } from "./push";
import { exchangeWords } from "./round";
import { sendPhotos } from "./sending";

let server: FakeServer;
let ben: Phone;
let photo: string;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  photo = (await ben.store.uploads.toCollection().primaryKeys())[0] ?? "";
});

const tell = () => undefined;

test("a photo waits until the words that announce it have their receipt", async () => {
  const before = await readyPhotos(ben.store);
  await push(ben.line);

  const after = await readyPhotos(ben.store);

  expect(before).toEqual([]);
  expect(after.map((one) => one.id)).toEqual([photo]);
});

test("a photo that was cut off is resumed, one that never started is not asked about", async () => {
  await push(ben.line);
  const asked: boolean[] = [];
  const cut: SendBytes = async ({ isResumed }) => {
    asked.push(isResumed);
    return "later";
  };

  await sendPhotos(ben.line, { sendBytes: cut, tell });
  await sendPhotos(ben.line, { sendBytes: cut, tell });

  expect(asked).toEqual([false, true]);
  expect(await ben.store.photos_full.count()).toBe(1);
});

test("the full photo stays until a pull says that the server has it", async () => {
  await push(ben.line);
  await sendPhotos(ben.line, { sendBytes: async () => "stored", tell });
  await pull(ben.line);
  const afterUpload = await ben.store.photos_full.count();
  server.change({ table: "photo", id: photo, job_id: "job-1", fields: { state: "stored" } });

  await pull(ben.line);

  expect(afterUpload).toBe(1);
  expect(await readyPhotos(ben.store)).toEqual([]);
  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.thumbs.count()).toBe(1);
});

test("a refused photo stays on this phone and is told", async () => {
  await push(ben.line);
  const fields = { state: "refused", refused_reason: "not an image" };
  server.change({ table: "photo", id: photo, job_id: "job-1", fields });

  await pull(ben.line);

  expect(await ben.store.photos_full.count()).toBe(1);
  expect(await readyPhotos(ben.store)).toEqual([]);
  expect(await ben.store.attention.toArray()).toMatchObject([
    { id: photo, outcome: "photo_refused", message: "not an image" },
  ]);
});

test("a photo whose announcement was refused does not wait for signal for ever", async () => {
  server.refuses.add(photo);
  await push(ben.line);
  const refused = await countWaiting(ben.store);
  const [item] = await ben.store.attention.toArray();
  server.refuses.clear();

  await resendMutation(item?.id ?? "", item?.fields ?? {});
  await push(ben.line);

  expect(refused).toMatchObject({ photos_waiting: 0, attention: 1 });
  expect((await readyPhotos(ben.store)).map((one) => one.id)).toEqual([photo]);
});

test("a photo that is given up leaves the phone", async () => {
  server.refuses.add(photo);
  await push(ben.line);
  const [item] = await ben.store.attention.toArray();

  await dismissAttention(item?.id ?? "");

  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.attention.count()).toBe(0);
});

test("a photo whose announcement was given up on another phone is told here, and leaves when it is given up", async () => {
  server.refuses.add(photo);
  await push(ben.line);
  const [item] = await ben.store.attention.toArray();
  server.aside = [{ id: item?.id ?? "", job_id: "job-1", type: "photo.add" }];
  server.settled.add(item?.id ?? "");

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);
  const told = await ben.store.attention.toArray();
  await dismissAttention(photo);
  await exchangeWords(ben.line);

  expect(told).toMatchObject([
    { id: photo, type: "photo", outcome: "photo_unsent", code: "given_up_elsewhere" },
  ]);
  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.attention.count()).toBe(0);
});

test("words written while photos go are sent before the next photo", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await push(ben.line);
  const sent: string[] = [];
  const sendBytes: SendBytes = async ({ photo_id }) => {
    sent.push(photo_id);
    await anIssue({ jobId: "job-1" });
    return "stored";
  };

  await sendPhotos(ben.line, { sendBytes, tell });

  expect(sent).toEqual([photo]);
});

test("on a quick line photos set out together once one was quick", async () => {
  const clock = vi.spyOn(performance, "now").mockReturnValue(0);
  onTestFinished(() => clock.mockRestore());
  await Promise.all([2, 3, 4].map(() => anIssue({ jobId: "job-1", photo: aPhoto() })));
  await push(ben.line);
  const sent: string[] = [];
  let allOut = tell;
  const together = new Promise<void>((resolve) => {
    allOut = () => void resolve();
  });
  const sendBytes: SendBytes = async ({ photo_id }) => {
    sent.push(photo_id);
    if (sent.length === 4) {
      allOut();
    }
    await (sent.length > 1 ? together : null);
    return "stored";
  };

  await sendPhotos(ben.line, { sendBytes, tell });

  expect(new Set(sent).size).toBe(4);
  expect(await readyPhotos(ben.store)).toEqual([]);
});

test("on a slow line photos go one after the other, so that words wait for one at most", async () => {
  await Promise.all([2, 3].map(() => anIssue({ jobId: "job-1", photo: aPhoto() })));
  await push(ben.line);
  let now = 0;
  const clock = vi.spyOn(performance, "now").mockImplementation(() => now);
  const steps: string[] = [];
  const sendBytes: SendBytes = async () => {
    steps.push("begun");
    now += 5_000;
    await Promise.resolve();
    steps.push("ended");
    return "stored";
  };

  await sendPhotos(ben.line, { sendBytes, tell });
  clock.mockRestore();

  expect(steps).toEqual(["begun", "ended", "begun", "ended", "begun", "ended"]);
});

test("progress is told, and ends with the last photo", async () => {
  await push(ben.line);
  const told: unknown[] = [];

  await sendPhotos(ben.line, {
    sendBytes: async ({ onShare }) => {
      onShare?.(0.4);
      return "stored";
    },
    tell: (progress) => told.push(progress),
  });

  const first = { number: 1, total: 1 };
  expect(told).toEqual([{ ...first, share: 0 }, { ...first, share: 0.4 }, null]);
});
