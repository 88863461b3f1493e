import { beforeEach, expect, test } from "vitest";
import { markStep } from "../actions/markStep";
import { pull } from "../sync/pull";
import { push } from "../sync/push";
import { anIssue, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { viewOf } from "./job";
import { readJobs } from "./jobs";
import { readMerged } from "./rows";
import { shortcutPath } from "./shortcut";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

/** A job with two steps, a unit, and a visit that starts at that time. */
function aJob(id: string, starts_at: string): void {
  const row = (table: string, fields: object) =>
    server.change({ table, id: `${id}-${table}`, job_id: id, fields });
  server.change({ table: "job", id, job_id: id, fields: { name: id, created_at: starts_at } });
  row("visit", { state: "planned", starts_at });
  row("step", { code: "walk_install", state: "done" });
  server.change({ table: "step", id: `${id}-s2`, job_id: id, fields: { state: "todo" } });
  server.change({ table: "unit", id: "unit-1", job_id: id, fields: { tag: "J3", system_id: "s" } });
}

test("the list counts what the server told and what this phone did since", async () => {
  aJob("job-1", "2026-11-26T07:00:00.000Z");
  await pull(ben.line);
  await markStep({ jobId: "job-1", stepId: "job-1-s2", state: "done" });
  await anIssue({ jobId: "job-1" });

  const [card] = await readJobs(ben.store);

  expect(card).toMatchObject({
    name: "job-1",
    steps_done: 2,
    steps_total: 2,
    issues_open: 1,
    waiting: 2,
    next_visit: { starts_at: "2026-11-26T07:00:00.000Z" },
  });
});

test("the job whose visit is next comes first, and the icon's shortcuts open it", async () => {
  aJob("later", "2026-12-09T07:00:00.000Z");
  aJob("soon", "2026-11-26T07:00:00.000Z");
  await pull(ben.line);

  const cards = await readJobs(ben.store);

  expect(cards.map((card) => card.id)).toEqual(["soon", "later"]);
  expect(await shortcutPath(new URL("http://phone/?go=log"))).toBe("/job/soon/log");
  expect(await shortcutPath(new URL("http://phone/?go=elsewhere"))).toBeUndefined();
});

test("a visit that was called off is nobody's next one", async () => {
  aJob("job-1", "2026-11-26T07:00:00.000Z");
  const calledOff = { state: "cancelled", starts_at: "2026-11-26T07:00:00.000Z" };
  server.change({ table: "visit", id: "job-1-visit", job_id: "job-1", fields: calledOff });
  await pull(ben.line);

  const [card] = await readJobs(ben.store);

  expect(card).toMatchObject({ next_visit: null, visits: [{ state: "cancelled" }] });
});

test("rows kept in memory follow every pull, and every write on this phone", async () => {
  aJob("job-1", "2026-11-26T07:00:00.000Z");
  await pull(ben.line);
  const seen: string[] = [];
  const look = async () => {
    const rows = await readMerged(ben.store, "job-1");
    seen.push(rows.step.map((step) => step.state).join());
  };

  await look();
  await markStep({ jobId: "job-1", stepId: "job-1-s2", state: "failed" });
  await look();
  server.change({ table: "step", id: "job-1-step", job_id: "job-1", fields: { state: "todo" } });
  await push(ben.line);
  await pull(ben.line);
  await look();

  expect(seen).toEqual(["todo,done", "failed,done", "failed,todo"]);
});

test("a new issue stands at its unit's system, open and without a number, with its history", async () => {
  aJob("job-1", "2026-11-26T07:00:00.000Z");
  await pull(ben.line);
  await anIssue({ jobId: "job-1", words: "oil at the flare" });

  const view = viewOf(await readMerged(ben.store, "job-1"));

  const [issue] = view?.issuesByUnit.get("unit-1") ?? [];
  expect(issue).toMatchObject({
    number: null,
    state: "open",
    system_id: "s",
    raised_by_name: "Ben",
    pending: true,
  });
  expect(view?.eventsByIssue.get(issue?.id ?? "")).toMatchObject([
    { kind: "raised", words: "oil at the flare", by_name: "Ben", by_role: "technician" },
  ]);
});

test("a job that this phone does not have is null, not empty", async () => {
  expect(viewOf(await readMerged(ben.store, "nowhere"))).toBeNull();
});
