/** Rule 14, where the phone no longer remembers that it had read a job: it must not keep the rows for ever. */
import { beforeEach, expect, test } from "vitest";
import {
  dropDraft,
  keepEndedDraft,
  readDraft,
  saveDraft,
  saveDraftPhotos,
} from "../actions/drafts";
import { readEndedDrafts } from "../queries/ended-drafts";
import { countWaiting } from "../queries/sync";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job, json, step } from "../testing/server";
import { pull } from "./pull";
import { exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change(job);
  server.change(step("s1"));
  server.change({ ...job, id: "job-2", job_id: "job-2" });
  await pull(ben.line);
});

const jobsHere = async () => await ben.store.rows.orderBy("job_id").uniqueKeys();

/** A server that does not know its own cursors: once. */
function refuseCursors(): void {
  let isAsked = false;
  server.before = ({ body }) => {
    if (isAsked || (body["cursors"] as string[] | undefined)?.length === undefined) {
      return undefined;
    }
    isAsked = true;
    return json({ error: { code: "malformed", fields: { cursors: ["not ours"] } } }, 422);
  };
}

test("rule 14: access that ended while all cursors were forgotten ends on the phone too", async () => {
  refuseCursors();
  server.seen = new Set(["job-2"]);

  const ends = [await pull(ben.line), await pull(ben.line)];

  expect(ends).toEqual(["later", "done"]);
  expect(await jobsHere()).toEqual(["job-2"]);
  expect(await ben.store.cursors.count()).toBe(1);
});

test("rule 14: access that ended while a job was to be read again ends on the phone too", async () => {
  await ben.store.rows.where("table").equals("step").modify({ rev: 1 });
  server.after = ({ body }) => {
    if (body["check"]) {
      server.seen = new Set(["job-2"]);
    }
    return undefined;
  };

  await pull(ben.line);

  expect(await jobsHere()).toEqual(["job-2"]);
  expect(await ben.store.cursors.count()).toBe(1);
});

test("rule 14: what is unsent of such a job is handed over before its rows go", async () => {
  await anIssue({ jobId: "job-1" });
  refuseCursors();
  server.seen = new Set(["job-2"]);
  await pull(ben.line);
  await pull(ben.line);
  const before = { jobs: await jobsHere(), outbox: await ben.store.outbox.count() };

  await exchangeWords(ben.line);

  expect(before).toEqual({ jobs: ["job-1", "job-2"], outbox: 1 });
  expect(await jobsHere()).toEqual(["job-2"]);
  expect(await ben.store.attention.toArray()).toMatchObject([{ code: "no_access" }]);
});

test("rule 14: a job whose end is known stays known when all cursors are forgotten", async () => {
  await anIssue({ jobId: "job-1" });
  server.seen = new Set(["job-2"]);
  await pull(ben.line);
  refuseCursors();
  server.seen = new Set(["job-2", "job-3"]);
  server.change({ ...job, id: "job-3", job_id: "job-3" });

  await pull(ben.line);

  expect(await ben.store.cursors.toArray()).toMatchObject([
    { job_id: "job-1", gone: true },
    { job_id: "job-2", gone: false, cursor: null },
  ]);
});

test("rule 14: a page in the middle says nothing of the jobs that are not on it", async () => {
  for (let count = 0; count < 2_500; count += 1) {
    server.change(step(`s${count}`));
  }
  await ben.store.cursors.clear();
  await ben.store.meta.delete("mark");
  let pages = 0;
  server.before = () => {
    pages += 1;
    return pages === 2 ? "cut" : undefined;
  };

  await pull(ben.line);

  expect(await jobsHere()).toEqual(["job-1", "job-2"]);
});

test("rule 14: that nothing changed says nothing of a job that is to be read again", async () => {
  await pull(ben.line);
  await pull(ben.line);
  await ben.store.cursors.update("job-1", { cursor: null });

  await pull(ben.line);

  expect(server.log.at(-1)?.body).toHaveProperty("mark");
  expect(await jobsHere()).toEqual(["job-1", "job-2"]);
});

/** Access ends, and comes back. */
async function seenAre(jobs: string[]): Promise<void> {
  server.seen = new Set(jobs);
  await exchangeWords(ben.line);
  await exchangeWords(ben.line);
}

const ended = async () => (await readEndedDrafts(ben.store)).map(({ key }) => key);

test("rule 14: what was sent of such a job repeats no row of it, and is offered again all the same", async () => {
  const { rows, heads, lanes, taken } = server;
  const kept = structuredClone({ rows, heads, lanes, taken });
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  const before = await ben.store.receipts.toArray();

  await seenAre(["job-2"]);
  const receipts = await ben.store.receipts.toArray();
  Object.assign(server, kept, { epoch: server.epoch + 1 });
  await seenAre(["job-1", "job-2"]);

  expect(before[0]?.shown).not.toEqual([]);
  expect(receipts).toMatchObject([
    { shown: [], mutation: { id: before[0]?.id, fields: { words: "oil at the flare" } } },
  ]);
  expect(server.rows.filter((row) => row.id === id)).toHaveLength(1);
});

test("rule 14: what was begun on such a job stays, with its photos, and is listed until access comes back", async () => {
  await saveDraft("log:job-1:any", { words: "oil" });
  await saveDraftPhotos("log:job-1:any", [aPhoto()]);
  await saveDraftPhotos("why:s1:failed", [aPhoto()]);
  await saveDraft("log:job-2:any", { words: "of another job" });
  await saveDraft("new-job", { name: "of no job yet" });

  await seenAre(["job-2"]);
  const gone = await readEndedDrafts(ben.store);
  const counted = await countWaiting(ben.store);
  await seenAre(["job-1", "job-2"]);

  expect(gone).toMatchObject([
    { key: "log:job-1:any", job_name: "Invented Hall", value: { words: "oil" } },
    { key: "why:s1:failed", job_name: "Invented Hall", value: {} },
  ]);
  expect(await gone[0]?.photos[0]?.thumb.text()).toBe("a small one");
  expect(gone[1]?.photos).toHaveLength(1);
  expect(counted.attention).toBe(2);
  expect(await ended()).toEqual([]);
  expect((await countWaiting(ben.store)).attention).toBe(0);
  expect(await readDraft("log:job-1:any")).toEqual({ words: "oil" });
});

test("rule 14: what was begun on such a job can be put off, and given up with its photos", async () => {
  await saveDraft("log:job-1:any", { words: "oil" });
  await saveDraftPhotos("log:job-1:any", [aPhoto()]);
  await saveDraft("why:s1:failed", { note: "no key" });
  await seenAre(["job-2"]);

  await keepEndedDraft("why:s1:failed");
  const counted = (await countWaiting(ben.store)).attention;
  await dropDraft("log:job-1:any");

  expect(counted).toBe(1);
  expect(await ended()).toEqual(["why:s1:failed"]);
  expect(await ben.store.draft_photos.count()).toBe(0);
  expect(await ben.store.drafts.toCollection().primaryKeys()).toEqual(["why:s1:failed"]);
});

test("rule 14: what is finished after access came back is not listed when it ends again", async () => {
  await saveDraft("log:job-1:any", { words: "oil" });
  await seenAre(["job-2"]);
  await seenAre(["job-1", "job-2"]);
  await anIssue({ jobId: "job-1", draftKey: "log:job-1:any" });
  await exchangeWords(ben.line);

  await seenAre(["job-2"]);

  expect(await ended()).toEqual([]);
});
