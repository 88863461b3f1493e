/** Rule 13: all jobs are read anew, page by page, and the line may end after any of them. */
import { beforeEach, expect, test } from "vitest";
import { setUnit } from "../actions/setUnit";
import type { BaseRecord } from "../local/records";
import { Store } from "../local/store";
import { readJobs } from "../queries/jobs";
import { benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer, job, json, step } from "../testing/server";
import { pull } from "./pull";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  server.mostRows = PAGE;
  ben = await benWithAPhone(server);
});

const PAGE = 10;
const unit = { table: "unit", id: "u1", job_id: "job-1", fields: { tag: "IU-1", room: "1.01" } };

/** Two pages of steps, and the job itself comes with the third. */
function aLongJob(): void {
  for (let count = 0; count < 2 * PAGE; count += 1) {
    server.change(step(`s${count}`));
  }
  server.change(unit);
  server.change({ ...job, fields: { ...job.fields, created_at: "2026-11-24T09:00:00.000Z" } });
}

/** The line carries so many answers and no more. */
function cutAfter(answers: number): void {
  let left = answers;
  server.before = () => (left-- > 0 ? undefined : "cut");
}

function heal(): void {
  server.before = () => undefined;
}

/** What the server had at a moment; put back, it counts its revisions from there again. */
function backUp(): () => void {
  const kept = structuredClone({ rows: server.rows, heads: server.heads, lanes: server.lanes });
  return () => Object.assign(server, structuredClone(kept), { epoch: server.epoch + 1 });
}

const lineOf = (all: { table: string; id: string; rev: number }[]) =>
  all.map(({ table, id, rev }) => `${table} ${id} ${rev}`).toSorted();
const here = async (store = ben.store) => lineOf(await store.rows.toArray());
const there = () => lineOf(server.rows);
const jobsShown = async () => (await readJobs(ben.store)).map(({ id }) => id);

/** Read to the end, then the server comes back from a backup, and the line goes after two pages of that. */
async function aResetThatIsCut(): Promise<void> {
  aLongJob();
  const restore = backUp();
  server.change(step("made-after-the-backup"));
  await pull(ben.line);
  restore();
  cutAfter(2);
  await pull(ben.line);
}

test("a reset that is cut takes no row away, and its last page takes what the server has no more", async () => {
  aLongJob();
  const restore = backUp();
  server.change(step("made-after-the-backup"));
  server.change(step("s5", "done"));
  await pull(ben.line);
  const before = (await here()).length;
  restore();

  cutAfter(2);
  await pull(ben.line);
  const [between, shown] = [(await here()).length, await jobsShown()];
  heal();
  await pull(ben.line);

  expect([between, shown]).toEqual([before, ["job-1"]]);
  expect(await here()).toEqual(there());
});

test("an app that is killed between two pages of a reset goes on where it was", async () => {
  await aResetThatIsCut();
  heal();

  ben.store.close();
  const store = new Store(ben.who.principal_id);
  const ended = await pull({ ...ben.line, store });

  expect(ended).toBe("done");
  expect(server.log.at(-1)?.body["cursors"]).toMatchObject([expect.stringContaining(",20]")]);
  expect(await here(store)).toEqual(there());
});

test("a second reset that begins within the first ends with just what the server has then", async () => {
  aLongJob();
  const older = backUp();
  server.change(step("of-the-newer-backup"));
  const newer = backUp();
  server.change(step("of-no-backup"));
  await pull(ben.line);
  newer();
  cutAfter(3);
  await pull(ben.line);
  heal();
  older();
  server.change(step("of-after-both"));

  cutAfter(2);
  await pull(ben.line);
  const between = (await here()).length;
  heal();
  await pull(ben.line);

  expect(between).toBeGreaterThan(server.rows.length);
  expect(await here()).toEqual(there());
});

test("a job whose rows come pages later stays whole when the line ends before them", async () => {
  aLongJob();
  const fields = { name: "Invented Works", created_at: "2026-11-25T09:00:00.000Z" };
  server.change({ table: "job", id: "job-2", job_id: "job-2", fields });
  server.change({ ...step("other"), job_id: "job-2" });
  await pull(ben.line);
  const before = await here();
  server.epoch = 2;

  cutAfter(2);
  await pull(ben.line);

  expect((await jobsShown()).toSorted()).toEqual(["job-1", "job-2"]);
  expect(await here()).toEqual(before);
});

/** The server knows none of the cursors it is sent, and then the line ends. */
function refuseCursorsAndCut(): void {
  let left = 1;
  const refusal = { error: { code: "malformed", fields: { cursors: ["not ours"] } } };
  server.before = ({ body }) => ("cursors" in body && left-- > 0 ? json(refusal, 422) : "cut");
}

test("the list of jobs stays when the server knows none of the cursors and the line ends there", async () => {
  aLongJob();
  await pull(ben.line);
  const before = await here();
  server.change(step("s5", "done"));
  await ben.store.meta.delete("mark");
  refuseCursorsAndCut();

  const ended = await pull(ben.line);
  const [between, shown] = [await here(), await jobsShown()];
  heal();
  await pull(ben.line);

  expect(ended).toBe("later");
  expect([between, shown]).toEqual([before, ["job-1"]]);
  expect(
    server.log.filter(({ body }) => "cursors" in body).map(({ body }) => body["cursors"]),
  ).toContainEqual([]);
  expect(await here()).toEqual(there());
});

test("a job that is read anew after its cursor was refused is compared with the server once more", async () => {
  aLongJob();
  await pull(ben.line);
  await pull(ben.line);
  const checkedAt = async () => (await ben.store.cursors.get("job-1"))?.checked_at;
  const before = await checkedAt();
  await ben.store.meta.delete("mark");
  refuseCursorsAndCut();

  await pull(ben.line);
  const between = await checkedAt();
  heal();
  await pull(ben.line);
  await pull(ben.line);

  expect([before, between]).toEqual([expect.any(String), undefined]);
  expect(await checkedAt()).toEqual(expect.any(String));
});

test("access that ends within a reset takes the whole job at once", async () => {
  aLongJob();
  await pull(ben.line);
  server.epoch = 2;
  cutAfter(2);
  await pull(ben.line);
  heal();

  server.seen = new Set();
  await pull(ben.line);

  expect(await ben.store.rows.count()).toBe(0);
  expect(await ben.store.cursors.count()).toBe(0);
});

test("what is changed of a row that the reset has yet to bring claims to know nothing of the server's", async () => {
  aLongJob();
  await pull(ben.line);
  const known = (await ben.store.rows.get(["unit", "u1"]))?.rev ?? 0;
  const room = (words: string) =>
    setUnit({ jobId: "job-1", unitId: "u1", changes: { room: words } });
  await room("1.02");
  server.epoch = 2;
  cutAfter(2);
  await pull(ben.line);

  await room("1.03");
  heal();
  await pull(ben.line);
  await room("1.04");

  const waiting = await ben.store.outbox.orderBy("[job_id+seq]").toArray();
  expect(waiting.map(({ base_rev }) => base_rev)).toEqual([known, 0, known]);
});

/** Its next page, as an app takes it that knows of no marks: it keeps what else the record says. */
async function takeAsAnOlderApp(rows: BaseRecord[], cursor: string): Promise<void> {
  await ben.store.transaction("rw", ben.store.rows, ben.store.cursors, async () => {
    await ben.store.rows.bulkPut(rows);
    await ben.store.cursors.update("job-1", { cursor });
  });
}

/** A reset is cut after its first page, and another tab with an older app takes all that was left of it. */
async function resetThatAnOlderAppEnds(): Promise<void> {
  aLongJob();
  await pull(ben.line);
  server.epoch = 2;
  cutAfter(2);
  await pull(ben.line);
  heal();
  const [, , reached] = JSON.parse(String((await ben.store.cursors.get("job-1"))?.cursor));
  const left = server.rows.filter(({ rev }) => rev > reached) as BaseRecord[];
  await takeAsAnOlderApp(left, JSON.stringify(["job-1", 2, server.heads.get("job-1")]));
}

test("a reset that another tab's older app has ended takes none of its rows away with the next change", async () => {
  await resetThatAnOlderAppEnds();
  server.change(step("s5", "done"));

  await pull(ben.line);

  expect(await here()).toEqual(there());
  expect(await ben.store.cursors.get("job-1")).not.toHaveProperty("reset");
});

test("of a row that another tab's older app brought what it says of the server's counts", async () => {
  await resetThatAnOlderAppEnds();

  await setUnit({ jobId: "job-1", unitId: "u1", changes: { room: "1.02" } });

  const rev = server.rows.find(({ table }) => table === "unit")?.rev;
  expect(await ben.store.outbox.toArray()).toMatchObject([{ base_rev: rev }]);
});

test("of rows that a reset has yet to bring nothing is known while its cursor is forgotten", async () => {
  aLongJob();
  await pull(ben.line);
  server.epoch = 2;
  cutAfter(2);
  await pull(ben.line);
  refuseCursorsAndCut();
  await pull(ben.line);

  await setUnit({ jobId: "job-1", unitId: "u1", changes: { room: "1.02" } });

  expect(await ben.store.outbox.toArray()).toMatchObject([{ base_rev: 0 }]);
});

test("after a reset that was cut the phone's sums are those of the server", async () => {
  await aResetThatIsCut();
  heal();
  await ben.store.cursors.update("job-1", { checked_at: "2020-01-01T00:00:00.000Z" });

  await pull(ben.line);

  const checks = server.log.filter(({ body }) => "check" in body).length;
  expect(checks).toBeGreaterThan(0);
  expect(server.log.filter(({ body }) => "differed" in body)).toEqual([]);
  expect((await ben.store.cursors.get("job-1"))?.checked_at).not.toMatch(/^2020/);
});
