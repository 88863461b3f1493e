import { beforeEach, expect, test } from "vitest";
import { saveDraft, saveDraftPhotos } from "../actions/drafts";
import { pull } from "../sync/pull";
import { exchangeWords } from "../sync/round";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import { readBegun } from "./begun";

let ben: Phone;

beforeEach(async () => {
  const server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change(job);
  server.change({ table: "unit", id: "u1", job_id: "job-1", fields: { tag: "L2-11" } });
  await pull(ben.line);
});

const begun = async () =>
  (await readBegun(ben.store)).map(({ path, unit, issue, photos }) => ({
    path,
    ...{ tag: unit?.tag, issue: issue?.id, photos },
  }));

test("a half-written issue is told with its unit and its photos, and where it goes on", async () => {
  await saveDraftPhotos("log:job-1:u1", [aPhoto()]);
  await saveDraft("log:job-1:any", { unitId: "u1", category: null, words: "oil" });

  expect(await begun()).toEqual([
    { path: "/job/job-1/log", tag: "L2-11", issue: undefined, photos: 0 },
    { path: "/job/job-1/log?unit=u1", tag: "L2-11", issue: undefined, photos: 1 },
  ]);
});

test("what is begun on an issue leads to that issue, a contractor's to theirs", async () => {
  const id = idOf(await anIssue({ jobId: "job-1" }));
  await exchangeWords(ben.line);
  await saveDraft(`prove:${id}`, { words: "dry" });
  await saveDraft(`answer:${id}`, { words: "tightened" });

  expect(await begun()).toMatchObject([
    { path: `/answer/issue/${id}`, issue: id },
    { path: `/job/job-1/issue/${id}`, issue: id },
  ]);
});

test("a unit that was picked and nothing else is nothing begun, nor is what this phone has no more, nor a check", async () => {
  await saveDraft("log:job-1:any", { unitId: "u1", category: null, words: " " });
  await saveDraft("log:job-9:any", { words: "of a job that is gone" });
  await saveDraft("answer:gone", { words: "of an issue that is gone" });
  await saveDraft("check:supply:u1", { typed: {} });

  expect(await begun()).toEqual([]);
});
