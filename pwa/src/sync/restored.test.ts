/** Rule 13: the server came back from last night's backup. What it lost is offered again, photos too. */
import { beforeEach, expect, test } from "vitest";
import { dismissAttention, keepAttention } from "../actions/resendMutation";
import { readMerged } from "../queries/rows";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job, step } from "../testing/server";
import { renumberAll } from "./lanes";
import { readyPhotos, type SendBytes } from "./photos";
import { pull } from "./pull";
import { push } from "./push";
import { exchangePhotos, exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

const attention = async () => (await ben.store.attention.toArray()).map((item) => item.id);

test("rule 13: after a restore the lost is offered again also where the job comes in many pages", async () => {
  for (let count = 0; count < 1_500; count += 1) {
    server.change(step(`s${count}`));
  }
  await pull(ben.line);
  const restore = server.backUp();
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  restore();

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  expect(server.rows.filter((row) => row.id === id)).toHaveLength(1);
  expect(await ben.store.outbox.count()).toBe(0);
}, 30_000);

test("rule 13: what a restored server lost goes back to it in the round in which that is found", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  const restore = server.backUp();
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  restore();

  const ended = await exchangeWords(ben.line);

  expect(ended).toBe("done");
  expect(server.rows.filter((row) => row.id === id)).toHaveLength(1);
  expect(await ben.store.outbox.count()).toBe(0);
});

const sentOf = () => [...server.taken.keys()].length;

/** Three changes of before the backup is put back, and one of before it was made. */
async function aRestoreOfWhatIsOutOfSight() {
  server.change(step("s1"));
  await pull(ben.line);
  await anIssue({ jobId: "job-1", words: "kept" });
  await exchangeWords(ben.line);
  const restore = server.backUp();
  for (const words of ["first", "second", "third"]) {
    await anIssue({ jobId: "job-1", words });
    await exchangeWords(ben.line);
  }
  return restore;
}

test.each(["before", "after"])(
  "rule 13: what a restored server lost of a job that went out of sight %s it goes back to it",
  async (when) => {
    const restore = await aRestoreOfWhatIsOutOfSight();
    const sent = sentOf();
    if (when === "before") {
      server.seen = new Set();
      await exchangeWords(ben.line);
    }
    restore();
    server.seen = new Set();
    const left = sentOf();

    const ended = await exchangeWords(ben.line);

    expect([ended, left, sentOf()]).toEqual(["done", sent - 3, sent]);
    expect(await ben.store.outbox.count()).toBe(0);
    const cards = await ben.store.attention.toArray();
    expect(cards.map((card) => card.fields["words"])).toEqual(["first", "second", "third"]);
  },
);

test("rule 13: what a restored server still has of a job out of sight is answered as before", async () => {
  const restore = await aRestoreOfWhatIsOutOfSight();
  server.seen = new Set();
  await exchangeWords(ben.line);
  server.backUp()();
  const sent = sentOf();

  const ended = await exchangeWords(ben.line);

  expect([ended, sentOf()]).toEqual(["done", sent]);
  expect(await ben.store.outbox.count()).toBe(0);
  expect(await ben.store.attention.count()).toBe(0);
  expect(restore).toBeDefined();
});

test("rule 13: hundreds of changes of one job are offered in one go, and the phone reads on", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  for (let count = 0; count < 150; count += 1) {
    await anIssue({ jobId: "job-1", words: `issue ${count}` });
  }
  await exchangeWords(ben.line);
  server.epoch += 1;
  server.lanes.clear();
  server.taken.clear();

  const ended = await exchangeWords(ben.line);

  expect(ended).toBe("done");
  expect(server.taken.size).toBe(150);
  expect(await ben.store.outbox.count()).toBe(0);
  expect((await ben.store.meta.get("epoch"))?.value).toBe(`epoch ${server.epoch}`);
}, 30_000);

test("rule 13: what is offered again is as old as it was, so that it is not offered when the server has forgotten it", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  await anIssue({ jobId: "job-1" });
  await exchangeWords(ben.line);
  const stored_at = "2026-11-01T08:00:00.000Z";
  await ben.store.receipts.toCollection().modify({ stored_at });
  server.epoch += 1;

  await exchangeWords(ben.line);

  expect((await ben.store.receipts.toArray()).map((one) => one.stored_at)).toEqual([stored_at]);
});

test("rule 13: a card that was put off is still put off when another server refuses the same", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  const id = idOf(await anIssue({ jobId: "job-1" }));
  server.refuses.add(id);
  await exchangeWords(ben.line);
  const [card] = await ben.store.attention.toArray();
  await keepAttention(card?.id ?? "");
  server.epoch += 1;

  await exchangeWords(ben.line);

  expect(await ben.store.attention.toArray()).toMatchObject([
    { id: card?.id, kept_at: expect.any(String) },
  ]);
});

test("rule 13: what another server has all the same is offered and not laid over what others wrote since", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  const id = idOf(await anIssue({ jobId: "job-1", words: "as Ben wrote it" }));
  await exchangeWords(ben.line);
  const fields = { ...server.rows.find((row) => row.id === id)?.fields, words: "as Ana put it" };
  server.change({ table: "issue", id, job_id: "job-1", fields });
  server.backUp()();

  await pull(ben.line);

  expect(await ben.store.outbox.count()).toBe(1);
  const { issue } = await readMerged(ben.store, "job-1");
  expect(issue).toMatchObject([{ id, words: "as Ana put it", pending: false }]);
});

test("rule 13: what the server lost stays visible on the phone that made it, long after it was sent", async () => {
  server.change(step("s1"));
  const restore = server.backUp();
  await pull(ben.line);
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  const overlay = await ben.store.overlay.count();
  restore();

  await pull(ben.line);

  expect(overlay).toBe(0);
  expect((await readMerged(ben.store, "job-1")).issue).toMatchObject([{ id, pending: true }]);
});

test("rule 13: what was sent under a device id of before is offered too, and first", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  const restore = server.backUp();
  const first = idOf(await anIssue({ jobId: "job-1", words: "first" }));
  await push(ben.line);
  await renumberAll(ben.store);
  const second = idOf(await anIssue({ jobId: "job-1", words: "second" }));
  await exchangeWords(ben.line);
  restore();

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  const ids = server.rows.filter((row) => row.table === "issue").map((row) => row.id);
  expect(ids).toEqual([first, second]);
});

test("rule 13: what was refused and has been given up since is not said again", async () => {
  server.change(step("s1"));
  const restore = server.backUp();
  const bad = idOf(await anIssue({ jobId: "job-1" }));
  server.refuses.add(bad);
  await exchangeWords(ben.line);
  await dismissAttention((await attention())[0] ?? "");
  const good = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  restore();
  server.refuses.clear();

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  const ids = server.rows.filter((row) => row.table === "issue").map((row) => row.id);
  expect(ids).toEqual([good]);
});

test("rule 13: what was refused and is taken when it is offered again needs nobody any more", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  const restore = server.backUp();
  const issue = idOf(await anIssue({ jobId: "job-1" }));
  server.refuses.add(issue);
  await exchangeWords(ben.line);
  const before = await ben.store.attention.count();
  restore();
  server.refuses.clear();

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  const ids = server.rows.filter((row) => row.table === "issue").map((row) => row.id);
  expect([before, ids]).toEqual([1, [issue]]);
  expect(await ben.store.attention.count()).toBe(0);
});

/** An issue with a photo, acknowledged and its bytes sent; the photo's id. */
async function aSentPhoto(): Promise<string> {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await exchangeWords(ben.line);
  const [photo = ""] = await ben.store.uploads.toCollection().primaryKeys();
  await exchangePhotos(ben.line, { tell: () => undefined, sendBytes: sendTo(server) });
  return photo;
}

/** The bytes arrive, and every phone learns it with its next pull. */
function sendTo(there: FakeServer): SendBytes {
  return async ({ photo_id }) => {
    there.change({ table: "photo", id: photo_id, job_id: "job-1", fields: { state: "stored" } });
    return "stored";
  };
}

test("rule 13: a photo that the restored server does not have is announced and sent again", async () => {
  server.change(job);
  await pull(ben.line);
  const restore = server.backUp();
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await exchangeWords(ben.line);
  const [photo = ""] = await ben.store.uploads.toCollection().primaryKeys();
  await ben.store.uploads.update(photo, { uploaded_at: "2026-11-25T09:00:00.000Z" });
  restore();

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);
  const ready = (await readyPhotos(ben.store)).map((one) => one.id);
  await exchangePhotos(ben.line, { tell: () => undefined, sendBytes: sendTo(server) });

  expect(ready).toEqual([photo]);
  expect(server.rows.find((row) => row.id === photo)?.fields).toMatchObject({ state: "stored" });
  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.attention.count()).toBe(0);
});

test("rule 13: a photo that neither the restored server nor this phone has in full is told, until it turns up", async () => {
  server.change(job);
  await pull(ben.line);
  const restore = server.backUp();
  const photo = await aSentPhoto();
  const full = await ben.store.photos_full.count();
  restore();

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);
  const told = await ben.store.attention.toArray();
  const small = await ben.store.thumbs.count();
  await sendTo(server)({ photo_id: photo, blob: new Blob(), isResumed: false, line: ben.line });
  await exchangeWords(ben.line);

  expect(full).toBe(0);
  expect(server.rows.filter((row) => row.id === photo)).toHaveLength(1);
  expect(told).toMatchObject([{ id: photo, outcome: "photo_gone" }]);
  expect(small).toBe(1);
  expect(await ben.store.attention.count()).toBe(0);
});

test("rule 13: a photo that another phone took and has not sent yet is nobody's loss here", async () => {
  server.change(job);
  server.change({ table: "photo", id: "p9", job_id: "job-1", fields: { state: "pending" } });

  await exchangeWords(ben.line);

  expect(await ben.store.attention.count()).toBe(0);
});
