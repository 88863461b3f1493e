/** Rule 21: whoever may no longer see a row of a job that they do see gets a removal. */
import { beforeEach, expect, test } from "vitest";
import { readDraft, saveDraft, saveDraftPhotos } from "../actions/drafts";
import { dismissAttention } from "../actions/resendMutation";
import { readEndedDrafts } from "../queries/ended-drafts";
import { countWaiting } from "../queries/sync";
import { aLinkOpened, anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import { moveWork } from "./moving";
import { readyPhotos } from "./photos";
import { pull } from "./pull";
import { exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change(job);
});

/** An issue with a photo whose words are sent and whose bytes wait; the photo's id. */
async function aPhotoThatWaits(): Promise<string> {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await exchangeWords(ben.line);
  const [photo = ""] = await ben.store.uploads.toCollection().primaryKeys();
  return photo;
}

const kept = async () => ({
  full: await ben.store.photos_full.count(),
  thumbs: await ben.store.thumbs.count(),
  uploads: await ben.store.uploads.count(),
});

test("rule 21: an issue that somebody else must see to now leaves this phone, and the job stays", async () => {
  const issue = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  server.hide({ table: "issue", id: issue });

  await pull(ben.line);

  expect((await ben.store.rows.toArray()).map((row) => row.id)).toEqual(["job-1"]);
});

test("rule 21: a removed photo whose bytes nobody else has waits for a person, and no longer for signal", async () => {
  const photo = await aPhotoThatWaits();
  server.hide({ table: "photo", id: photo });

  await pull(ben.line);

  expect(await countWaiting(ben.store)).toMatchObject({ photos_waiting: 0, attention: 1 });
  expect(await kept()).toEqual({ full: 1, thumbs: 1, uploads: 1 });
  expect(await ben.store.attention.toArray()).toMatchObject([
    { id: photo, outcome: "photo_unsent" },
  ]);
});

test("rule 21: a removed photo is sent after all once its author sees it again", async () => {
  const photo = await aPhotoThatWaits();
  server.hide({ table: "photo", id: photo });
  await pull(ben.line);
  server.show({ table: "photo", id: photo });

  await pull(ben.line);

  expect((await readyPhotos(ben.store)).map((one) => one.id)).toEqual([photo]);
  expect(await ben.store.attention.count()).toBe(0);
});

test("rule 21: of a removed photo that the server has nothing stays, neither large nor small", async () => {
  const photo = await aPhotoThatWaits();
  await ben.store.uploads.update(photo, { uploaded_at: "2026-11-25T09:00:00.000Z" });
  server.hide({ table: "photo", id: photo });

  await pull(ben.line);

  expect(await kept()).toEqual({ full: 0, thumbs: 0, uploads: 0 });
  expect(await ben.store.attention.count()).toBe(0);
});

test("rule 21: the small picture of another's photo goes with its row", async () => {
  server.change({ table: "photo", id: "p9", job_id: "job-1", fields: { state: "stored" } });
  await pull(ben.line);
  const blob = new Blob(["a small one"]);
  await ben.store.thumbs.put({ id: "p9", size: "thumb", blob, kept_at: "2026-11-25T09:00:00Z" });
  server.hide({ table: "photo", id: "p9" });

  await pull(ben.line);

  expect(await ben.store.thumbs.count()).toBe(0);
});

test("rule 21: a photo that was refused after it was sent is on this phone only, and stays when its row goes", async () => {
  const photo = await aPhotoThatWaits();
  await ben.store.uploads.update(photo, { uploaded_at: "2026-11-25T09:00:00.000Z" });
  server.change({ table: "photo", id: photo, job_id: "job-1", fields: { state: "refused" } });
  await pull(ben.line);
  server.hide({ table: "photo", id: photo });

  await pull(ben.line);

  expect(await ben.store.photos_full.count()).toBe(1);
  expect(await ben.store.attention.toArray()).toMatchObject([{ outcome: "photo_refused" }]);
});

test("rule 21: of a removed photo that its author gives up nothing stays on the phone", async () => {
  const photo = await aPhotoThatWaits();
  server.hide({ table: "photo", id: photo });
  await pull(ben.line);

  await dismissAttention(photo);

  expect(await kept()).toEqual({ full: 0, thumbs: 0, uploads: 0 });
});

test("rule 21: a job that is read anew lets go of the photos that it no longer shows", async () => {
  const photo = await aPhotoThatWaits();
  await pull(ben.line);
  server.hide({ table: "photo", id: photo });
  server.epoch = 2;
  // Long ago: what was done then is not offered to a restored server again.
  await ben.store.receipts.clear();

  await pull(ben.line);

  expect(await countWaiting(ben.store)).toMatchObject({ photos_waiting: 0, attention: 1 });
});

/** An issue that is here, and a half-written answer to it. */
async function aBegunAnswer(): Promise<{ issue: string; key: string }> {
  const issue = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  await pull(ben.line);
  const key = `answer:${issue}`;
  await saveDraft(key, { words: "tightened" });
  await saveDraftPhotos(key, [aPhoto()]);
  return { issue, key };
}

test("rule 21: what was begun about a row that leaves is listed whole, until the row comes back", async () => {
  const { issue, key } = await aBegunAnswer();
  await saveDraft("log:job-1:any", { words: "of the job, which stays" });
  server.hide({ table: "issue", id: issue });
  await pull(ben.line);

  const gone = await readEndedDrafts(ben.store);
  const counted = (await countWaiting(ben.store)).attention;
  server.show({ table: "issue", id: issue });
  await pull(ben.line);

  expect(gone).toMatchObject([
    { key, job_name: "Invented Hall", row: ["issue", issue], value: { words: "tightened" } },
  ]);
  expect(gone[0]?.photos).toHaveLength(1);
  expect(counted).toBe(1);
  expect(await readEndedDrafts(ben.store)).toEqual([]);
  expect(await readDraft(key)).toEqual({ words: "tightened" });
});

test("rule 21: what was begun about a row that a reset did not bring is listed as well", async () => {
  const { issue, key } = await aBegunAnswer();
  server.rows = server.rows.filter(({ id }) => id !== issue);
  await ben.store.receipts.clear();
  server.epoch += 1;

  await pull(ben.line);

  expect(await readEndedDrafts(ben.store)).toMatchObject([{ key, row: ["issue", issue] }]);
});

test("rule 21: what was begun about such a row is told under the contractor's next link as well", async () => {
  const first = await aLinkOpened(server, { jobId: "job-1", recipient: "Kim" });
  await saveDraft("answer:gone", { words: "half of it" });
  const ended = { key: "answer:gone", job_id: "job-1", job_name: "Invented Hall" };
  await first.store.ended_drafts.put({ ...ended, row: ["issue", "gone"] });
  const next = await aLinkOpened(server, { jobId: "job-1", recipient: "Kim" });

  await moveWork(first.store, { to: next.store });

  const told = await readEndedDrafts(next.store);
  expect(told).toMatchObject([{ ...ended, value: { words: "half of it" } }]);
});
