/** What was not taken is known by name also when its rows have left the phone. */
import { beforeEach, expect, test } from "vitest";
import { answerIssue } from "../actions/answerIssue";
import { benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import { exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  const unit = { table: "unit", id: "unit-1", job_id: "job-1", fields: { tag: "L1-03" } };
  const fields = { number: 6, unit_id: "unit-1", who_must_act: "contractor" };
  server.change(job);
  server.change(unit);
  server.change({ table: "issue", id: "issue-6", job_id: "job-1", fields });
  await exchangeWords(ben.line);
  const words = { words: "New flare", fixed: true, promisedOn: null };
  await answerIssue({ jobId: "job-1", issueId: "issue-6", ...words });
  server.refuses.add("issue-6");
});

const cards = async () => await ben.store.attention.toArray();
const named = [{ type: "issue.answer", issue_number: 6, unit_tag: "L1-03" }];

test("rule 21: what was refused of an issue keeps its name when the issue leaves this phone", async () => {
  server.hide({ table: "issue", id: "issue-6" });

  await exchangeWords(ben.line);

  expect(await ben.store.rows.where("table").equals("issue").count()).toBe(0);
  expect(await cards()).toMatchObject(named);
});

test("rule 14: what another phone of theirs was told of a job is named too before its rows go", async () => {
  await exchangeWords(ben.line);
  await ben.store.attention.toCollection().modify((card) => {
    delete card.issue_number;
    delete card.unit_tag;
  });
  server.seen = new Set();

  await exchangeWords(ben.line);

  expect(await ben.store.rows.count()).toBe(0);
  expect(await cards()).toMatchObject(named);
});
