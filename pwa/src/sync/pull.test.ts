import { beforeEach, expect, test } from "vitest";
import { markStep } from "../actions/markStep";
import { deviceIdOf } from "../local/device";
import { noticeLoss } from "../local/lost";
import { readMerged } from "../queries/rows";
import { anIssue, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job, step } from "../testing/server";
import { pull } from "./pull";
import { purgeGone } from "./purge";
import { push } from "./push";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

test("a first pull brings everything, a second one nothing", async () => {
  server.change(job);
  server.change(step("s1"));

  await pull(ben.line);
  const rows = await ben.store.rows.count();
  await pull(ben.line);

  expect(rows).toBe(2);
  expect(server.log.at(-1)?.body["cursors"]).toHaveLength(1);
  expect(await ben.store.rows.count()).toBe(2);
});

test("what the server now says itself is no longer laid over it", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  await markStep({ jobId: "job-1", stepId: "s1", state: "done" });
  await push(ben.line);
  const between = await ben.store.overlay.count();

  await pull(ben.line);

  expect(between).toBe(1);
  expect(await ben.store.overlay.count()).toBe(0);
  const merged = await readMerged(ben.store, "job-1");
  expect(merged.step).toMatchObject([{ id: "s1", state: "done", pending: false }]);
});

test("what is unsent stays over whatever a pull brings", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  await markStep({ jobId: "job-1", stepId: "s1", state: "done" });
  server.change(step("s1", "failed"));

  await pull(ben.line);

  const merged = await readMerged(ben.store, "job-1");
  expect(merged.step).toMatchObject([{ state: "done", pending: true }]);
});

test("a pull that overtook the answer to the push makes the overlay go at the next one", async () => {
  await anIssue({ jobId: "job-1" });
  let cuts = 1;
  server.after = ({ path }) => (path === "/api/sync/push" && cuts-- > 0 ? "cut" : undefined);
  await push(ben.line);
  await pull(ben.line);
  const shown = (await readMerged(ben.store, "job-1")).issue;

  await push(ben.line);
  await pull(ben.line);

  expect(shown).toHaveLength(1);
  expect(await ben.store.overlay.count()).toBe(0);
  expect((await readMerged(ben.store, "job-1")).issue).toMatchObject([{ pending: false }]);
});

test("a long history comes in pages, and a cut in the middle goes on where it was", async () => {
  for (let count = 0; count < 2_500; count += 1) {
    server.change(step(`s${count}`));
  }
  let pages = 0;
  server.before = () => {
    pages += 1;
    return pages === 2 ? "cut" : undefined;
  };

  const first = await pull(ben.line);
  const rowsAfterCut = await ben.store.rows.count();
  const second = await pull(ben.line);

  expect([first, second]).toEqual(["later", "done"]);
  expect(rowsAfterCut).toBe(1_000);
  expect(await ben.store.rows.count()).toBe(2_500);
});

test("a reset clears the job first and keeps what is unsent", async () => {
  server.change(step("s1"));
  server.change(step("gone-after-the-backup"));
  await pull(ben.line);
  await anIssue({ jobId: "job-1" });
  server.epoch = 2;
  server.rows = server.rows.filter((row) => row.id === "s1");

  await pull(ben.line);

  expect((await ben.store.rows.toArray()).map((row) => row.id)).toEqual(["s1"]);
  expect(await ben.store.outbox.count()).toBe(1);
  expect((await readMerged(ben.store, "job-1")).issue).toHaveLength(1);
});

test("after a restore, what the server had acknowledged and lost is sent again and stays visible", async () => {
  server.change(step("s1"));
  await pull(ben.line);
  const backup = structuredClone({ rows: server.rows, heads: server.heads, lanes: server.lanes });
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await push(ben.line);
  Object.assign(server, backup, { epoch: 2, taken: new Map() });

  await pull(ben.line);
  const shown = (await readMerged(ben.store, "job-1")).issue;
  await push(ben.line);

  expect(shown).toMatchObject([{ id, pending: true }]);
  expect(server.rows.map((row) => row.id)).toContain(id);
});

test("access lost: unsent work is handed over first, and only then the job leaves the phone", async () => {
  server.change(job);
  await pull(ben.line);
  await anIssue({ jobId: "job-1" });
  await anIssue({ jobId: "job-1" });
  server.seen = new Set();

  await pull(ben.line);
  const before = { rows: await ben.store.rows.count(), outbox: await ben.store.outbox.count() };
  await push(ben.line);
  await purgeGone(ben.store);

  expect(before).toEqual({ rows: 1, outbox: 2 });
  expect(await ben.store.rows.count()).toBe(0);
  expect(await ben.store.attention.count()).toBe(2);
});

test("access given back: the lane counts on, so that the phone is not taken for a clone", async () => {
  server.change(job);
  await pull(ben.line);
  await anIssue({ jobId: "job-1" });
  await push(ben.line);
  server.seen = new Set();
  await pull(ben.line);
  server.seen = null;
  await pull(ben.line);

  await anIssue({ jobId: "job-1" });
  const ended = await push(ben.line);

  expect(ended).toBe("done");
  expect(server.lanes.get(`${await deviceIdOf(ben.store)}/job-1`)).toBe(2);
});

test("a phone that lost its counts goes on where the server stands", async () => {
  await anIssue({ jobId: "job-1" });
  await push(ben.line);
  await Promise.all([ben.store.lanes.clear(), ben.store.cursors.clear()]);
  await pull(ben.line);

  await anIssue({ jobId: "job-1" });

  expect(await ben.store.outbox.toArray()).toMatchObject([{ seq: 2 }]);
});

test("a phone whose store was cleared is a new device, and reads everything again", async () => {
  await anIssue({ jobId: "job-1" });
  await push(ben.line);
  const before = await deviceIdOf(ben.store);
  await Promise.all(ben.store.tables.map((table) => table.clear()));
  await noticeLoss(); // at the next start
  await pull(ben.line);

  await anIssue({ jobId: "job-1" });
  const ended = await push(ben.line);

  expect(ended).toBe("done");
  expect(await deviceIdOf(ben.store)).not.toBe(before);
  expect(server.rows).toHaveLength(2);
});

test("a table that this version does not know is left out", async () => {
  server.change(job);
  server.change({ table: "of_next_year", id: "x", job_id: "job-1", fields: {} });

  const ended = await pull(ben.line);

  expect(ended).toBe("done");
  expect(await ben.store.rows.count()).toBe(1);
});

test("a round that was cut off does not say that all is read", async () => {
  server.change(job);
  const cut = new AbortController();
  const fetch: typeof globalThis.fetch = async (...asked) => {
    const answer = await ben.line.wire.fetch(...asked);
    cut.abort();
    return answer;
  };

  await pull({ ...ben.line, wire: { ...ben.line.wire, fetch, signal: cut.signal } });
  const mark = await ben.store.meta.get("mark");
  await pull(ben.line);

  expect(mark).toBeUndefined();
  expect(await ben.store.meta.get("mark")).toBeDefined();
});
