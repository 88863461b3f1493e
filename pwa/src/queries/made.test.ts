import { beforeEach, expect, test } from "vitest";
import { sendBackIssue } from "../actions/sendBackIssue";
import { isFixer } from "../screens/issue/own-fix";
import { pull } from "../sync/pull";
import { push } from "../sync/push";
import { anIssue, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { viewOf } from "./job";
import { lastMadeFirst } from "./made";
import { readMerged } from "./rows";

/** By no clock is it the order in which the server took them. */
const HOURS = { slow: "2026-11-25T06:00:00.000Z", ahead: "2099-11-25T12:00:00.000Z" };

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  told("job", "job-1", { name: "Tern Lane" });
  told("issue", "issue-1", { number: 1, state: "answered", times_reopened: 0 });
});

function told(table: string, id: string, fields: object): void {
  server.change({ table, id, job_id: "job-1", fields });
}

type Line = { made_rev: number; at: string; by_person_id?: string | null };

/** A line of the issue's history; it may travel again, and its `rev` with it. */
function line(kind: string, { by_person_id = null, ...fields }: Line): void {
  told("issue_event", kind, { kind, issue_id: "issue-1", by_person_id, ...fields });
}

async function view() {
  const shown = viewOf(await readMerged(ben.store, "job-1"));
  if (!shown) throw new Error("no such job on this phone");
  return shown;
}

const kinds = (rows: readonly { kind: string }[]) => rows.map(({ kind }) => kind);

test("history is in the order in which the server took it, whatever clocks say and however often it travels", async () => {
  line("sent_back", { made_rev: 5, at: HOURS.slow });
  line("raised", { made_rev: 3, at: HOURS.ahead });
  line("answered", { made_rev: 4, at: HOURS.ahead, by_person_id: "ben" });
  await pull(ben.line);

  const { events } = await view();

  expect(kinds(events)).toEqual(["raised", "answered", "sent_back"]);
  expect(kinds(lastMadeFirst(events))).toEqual(["sent_back", "answered", "raised"]);
  expect(isFixer(events, { personId: "ben" })).toBe(false);
});

test("what is unsent comes after all that the server told, as it was written; once sent it stays there", async () => {
  line("raised", { made_rev: 3, at: HOURS.ahead });
  line("answered", { made_rev: 4, at: HOURS.ahead });
  await pull(ben.line);

  await sendBackIssue({ jobId: "job-1", issueId: "issue-1", words: "It still drips." });
  await sendBackIssue({ jobId: "job-1", issueId: "issue-1", words: "And here." });

  const wanted = ["raised", "answered", "sent_back", "sent_back"];
  const unsent = (await view()).events;
  expect(kinds(unsent)).toEqual(wanted);
  await push(ben.line);
  const sent = (await view()).events;
  expect(sent.map(({ pending }) => pending)).toEqual([false, false, false, false]);
  expect(sent.map(({ id }) => id)).toEqual(unsent.map(({ id }) => id));
});

test("issues without a number stand as they were written, though the clock went back in between", async () => {
  await pull(ben.line);
  await anIssue({ jobId: "job-1", words: "first" });
  const [first] = await ben.store.overlay.where("job_id").equals("job-1").toArray();
  await ben.store.overlay.update(first?.n ?? 0, {
    fields: { ...first?.fields, raised_at: HOURS.ahead },
  });
  await anIssue({ jobId: "job-1", words: "second" });

  const { issues } = await view();

  expect(issues.map(({ words }) => words).slice(1)).toEqual(["first", "second"]);
});
