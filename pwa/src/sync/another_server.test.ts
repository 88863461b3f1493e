/** Rule 13, the server is another one: what of the phone's earlier work is offered to it, and what of that shows. */
import { beforeEach, expect, test } from "vitest";
import { deviceIdOf } from "../local/device";
import { countFrom } from "../local/lane";
import type { OutboxRecord } from "../local/records";
import { readMerged } from "../queries/rows";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, step } from "../testing/server";
import { fillGap, offerAll, renumberAll } from "./lanes";
import { readyPhotos, type SendBytes } from "./photos";
import { pull } from "./pull";
import { exchange, exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change(step("s1"));
  await pull(ben.line);
});

const attention = async () => (await ben.store.attention.toArray()).map((item) => item.id);

/** What was set aside, on the server's list. */
const anAside = (id: string) => ({
  id,
  job_id: "job-1",
  type: "issue.raise",
  outcome: "refused",
  detail: { code: "a_rule", message: "A rule says no." },
  at: "2026-11-27T08:00:00.000Z",
  mutation: {},
});

test("rule 13: what was set aside, and taken later by itself, is offered to another server too", async () => {
  const restore = server.backUp();
  const id = idOf(await anIssue({ jobId: "job-1" }));
  server.refuses.add(id);
  await exchangeWords(ben.line);
  const [refused = ""] = await attention();
  server.settled.add(refused);
  server.takenByItself.add(refused);
  server.aside = [anAside(refused)];
  await exchangeWords(ben.line);
  const cards = await attention();
  restore();
  Object.assign(server, { aside: [], settled: new Set(), takenByItself: new Set() });
  server.refuses.clear();

  await exchangeWords(ben.line);

  expect(cards).toEqual([]);
  expect(server.rows.filter((row) => row.id === id)).toHaveLength(1);
});

test("rule 13: what was set aside, and dealt with on another phone, is offered to no other server", async () => {
  const restore = server.backUp();
  const id = idOf(await anIssue({ jobId: "job-1" }));
  server.refuses.add(id);
  await exchangeWords(ben.line);
  const [refused = ""] = await attention();
  server.settled.add(refused);
  server.aside = [anAside(refused)];
  await exchangeWords(ben.line);
  restore();
  server.refuses.clear();

  await exchangeWords(ben.line);

  expect(server.rows.filter((row) => row.id === id)).toHaveLength(0);
});

test("rule 13: what one restored server still had is shown while it is offered to the next, which lost it", async () => {
  const restore = server.backUp();
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  server.epoch += 1;
  await exchangeWords(ben.line);
  restore();
  server.epoch += 1;
  server.before = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);

  await exchangeWords(ben.line);

  const shown = ((await readMerged(ben.store, "job-1")).issue ?? []).filter((row) => row.id === id);
  expect([shown.length, server.rows.filter((row) => row.id === id).length]).toEqual([1, 0]);
});

test("rule 13: what waits to be offered to one restored server is shown where the next one lost it", async () => {
  const restore = server.backUp();
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  server.epoch += 1;
  server.before = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);
  await exchangeWords(ben.line);
  restore();
  server.epoch += 1;

  await exchangeWords(ben.line);

  expect((await readMerged(ben.store, "job-1")).issue).toMatchObject([{ id, pending: true }]);
});

test("rule 13: twice restored, a server gets what it lost in the order in which it was written", async () => {
  const restore = server.backUp();
  const first = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  const second = idOf(await anIssue({ jobId: "job-1" }));
  server.after = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);
  await exchangeWords(ben.line);
  server.after = () => undefined;
  server.epoch += 1;
  server.before = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);
  await exchangeWords(ben.line);
  server.before = () => undefined;
  restore();
  server.epoch += 1;

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  const issues = server.rows.filter(({ table }) => table === "issue");
  expect(issues.toSorted((a, b) => a.rev - b.rev).map((row) => row.id)).toEqual([first, second]);
});

test("rule 13: a photo that is found to be lost when its bytes are sent is sent in the same round", async () => {
  const restore = server.backUp();
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  let sent = 0;
  const sendBytes: SendBytes = async () => {
    sent += 1;
    if (sent === 1) restore();
    return "stored";
  };

  const ended = await exchange(ben.line, { tell: () => undefined, sendBytes });

  expect(ended).toBe("done");
  expect([sent, await ben.store.outbox.count()]).toEqual([2, 0]);
  expect(await readyPhotos(ben.store)).toEqual([]);
});

test("rule 13: what was lost goes back at once also where a photo cannot be sent now", async () => {
  const restore = server.backUp();
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await anIssue({ jobId: "job-1", photo: { ...aPhoto(), sha256: "2".repeat(64) } });
  let sent = 0;
  const sendBytes: SendBytes = async () => {
    sent += 1;
    if (sent === 1) restore();
    return sent === 1 ? "stored" : "not_now";
  };

  const ended = await exchange(ben.line, { tell: () => undefined, sendBytes });

  expect([ended, await ben.store.outbox.count()]).toEqual(["partly", 0]);
});

test("rule 13: what an older app had sent as two devices is offered in their order", async () => {
  for (const words of ["first", "second"]) {
    await anIssue({ jobId: "job-1", words });
  }
  await exchangeWords(ben.line);
  await renumberAll(ben.store);
  await anIssue({ jobId: "job-1", words: "as another device" });
  await exchangeWords(ben.line);
  await ben.store.receipts.toCollection().modify((one) => {
    delete one.mutation.written;
  });
  await anIssue({ jobId: "job-1", words: "by this app" });

  const device_id = await deviceIdOf(ben.store);
  await offerAll(ben.store, { job_id: "job-1", device_id, last_seq: 0 });

  const said = (await words()).map(([, one]) => one);
  expect(said).toEqual(["first", "second", "as another device", "by this app"]);
});

test("rule 13: what an older app left unsent keeps its place however often numbers are dealt anew", async () => {
  for (const words of ["first", "second"]) {
    await anIssue({ jobId: "job-1", words });
  }
  await exchangeWords(ben.line);
  await anIssue({ jobId: "job-1", words: "unsent" });
  await ben.store.receipts.toCollection().modify((one) => {
    delete one.mutation.written;
  });
  const [{ written: _here, ...unsent } = {}] = await ben.store.outbox.toArray();
  await ben.store.outbox.clear();
  await ben.store.outbox.add(unsent as OutboxRecord);
  await ben.store.lanes.put({ job_id: "job-1", last_seq: 3 });
  await anIssue({ jobId: "job-1", words: "by this app" });
  const lane = { job_id: "job-1", device_id: await deviceIdOf(ben.store) };

  await offerAll(ben.store, { ...lane, last_seq: undefined });
  await fillGap(ben.store, { ...lane, last_seq: 0 });

  const said = (await words()).map(([, one]) => one);
  expect(said).toEqual(["first", "second", "unsent", "by this app"]);
});

const words = async () => {
  const waiting = await ben.store.outbox.orderBy("[job_id+seq]").toArray();
  return waiting.map(({ seq, fields }) => [seq, fields["words"]]);
};

test("numbers that are dealt anew follow the order of writing, however the lane was counted meanwhile", async () => {
  await anIssue({ jobId: "job-1", words: "first" });
  await anIssue({ jobId: "job-1", words: "second" });
  await countFrom(ben.store, "job-1", 0);
  await anIssue({ jobId: "job-1", words: "third" });
  await ben.store.outbox.filter(({ fields }) => fields["words"] === "first").modify({ seq: 9 });

  await renumberAll(ben.store);

  expect(await words()).toEqual([
    [1, "first"],
    [2, "second"],
    [3, "third"],
  ]);
});

test("what an older app wrote in another tab keeps its place when numbers are dealt anew", async () => {
  await anIssue({ jobId: "job-1", words: "first" });
  await anIssue({ jobId: "job-1", words: "by the older app" });
  // As that counts and writes.
  await ben.store.lanes.put({ job_id: "job-1", last_seq: 2 });
  const [, theirs] = await ben.store.outbox.orderBy("[job_id+seq]").toArray();
  const { written: _here, ...older } = theirs as OutboxRecord;
  await ben.store.outbox.delete(older.id);
  await ben.store.outbox.add(older);
  await anIssue({ jobId: "job-1", words: "third" });

  await renumberAll(ben.store);

  expect((await words()).map(([, said]) => said)).toEqual(["first", "by the older app", "third"]);
});

test("rule 13: on a full phone the offer may have the room of photos that the server says it has", async () => {
  const photo = aPhoto();
  await anIssue({ jobId: "job-1", photo });
  await exchangeWords(ben.line);
  const [held] = await ben.store.photos_full.toArray();
  server.change({
    table: "photo",
    id: held?.id ?? "",
    job_id: "job-1",
    fields: { state: "stored" },
  });
  server.epoch += 1;
  let isFull = true;
  ben.store.outbox.hook("creating", () => {
    if (isFull) throw new DOMException("no room", "QuotaExceededError");
  });
  ben.store.photos_full.hook("deleting", () => {
    isFull = false;
  });

  await exchangeWords(ben.line);

  expect((await ben.store.meta.get("epoch"))?.value).toBe(`epoch ${server.epoch}`);
});
