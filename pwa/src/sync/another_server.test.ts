/** Rule 13, the server is another one: what of the phone's earlier work is offered to it, and what of that shows. */
import { beforeEach, expect, test } from "vitest";
import { readMerged } from "../queries/rows";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, step } from "../testing/server";
import { pull } from "./pull";
import { exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
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
  server.change(step("s1"));
  await pull(ben.line);
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
  server.change(step("s1"));
  await pull(ben.line);
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
  server.change(step("s1"));
  await pull(ben.line);
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
  server.change(step("s1"));
  await pull(ben.line);
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
  server.change(step("s1"));
  await pull(ben.line);
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

test("rule 13: on a full phone the offer may have the room of photos that the server says it has", async () => {
  server.change(step("s1"));
  await pull(ben.line);
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
