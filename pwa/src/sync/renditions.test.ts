import { beforeEach, expect, test } from "vitest";
import { keepBallast } from "../local/disk";
import { benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { pull } from "./pull";
import { keepThumbsOfOpenIssues, rendition } from "./renditions";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  await keepBallast(ben.store);
  server.before = ({ path }) =>
    path.startsWith("/api/photos/")
      ? new Response(`picture of ${path}`, { headers: { "Content-Type": "image/jpeg" } })
      : undefined;
});

function aPhotoOf(issue: string, state: string): void {
  const row = { job_id: "job-1" };
  server.change({ ...row, table: "issue", id: issue, fields: { state } });
  server.change({
    ...row,
    table: "photo",
    id: `photo-of-${issue}`,
    fields: { issue_id: issue, state: "stored" },
  });
}

test("small pictures of issues that are not closed are kept before anybody asks", async () => {
  aPhotoOf("open-one", "open");
  aPhotoOf("proved-one", "proved");
  await pull(ben.line);

  await keepThumbsOfOpenIssues(ben.line);
  server.before = () => "cut";

  expect(await rendition(ben.line, { id: "photo-of-open-one", size: "thumb" })).toBeDefined();
  expect(await rendition(ben.line, { id: "photo-of-proved-one", size: "thumb" })).toBeUndefined();
});

test("of large pictures those looked at last are kept", async () => {
  for (let count = 0; count < 63; count += 1) {
    const fields = { state: "stored" };
    await ben.store.rows.put({ table: "photo", id: `p${count}`, job_id: "job-1", rev: 1, fields });
    await rendition(ben.line, { id: `p${count}`, size: "large" });
  }

  expect(await ben.store.thumbs.count()).toBe(60);
});

test("an answer that is no picture is not kept", async () => {
  server.before = () => new Response("<html>sign in</html>", { status: 200 });

  expect(await rendition(ben.line, { id: "p", size: "thumb" })).toBeUndefined();
  expect(await ben.store.thumbs.count()).toBe(0);
});

test("a picture that was not to be had is asked for again once its photo has changed or has come anew", async () => {
  aPhotoOf("lost-one", "open");
  await pull(ben.line);
  const asked = () => server.log.filter(({ path }) => path.startsWith("/api/photos/")).length;
  server.before = ({ path }) =>
    path.startsWith("/api/photos/") ? new Response("", { status: 404 }) : undefined;

  await keepThumbsOfOpenIssues(ben.line);
  await keepThumbsOfOpenIssues(ben.line);
  const whileAway = asked();
  aPhotoOf("lost-one", "open");
  await pull(ben.line);
  await keepThumbsOfOpenIssues(ben.line);
  const onceChanged = asked();
  const rows = await ben.store.rows.toArray();
  await ben.store.rows.clear();
  await keepThumbsOfOpenIssues(ben.line);
  await ben.store.rows.bulkPut(rows);
  await keepThumbsOfOpenIssues(ben.line);

  expect([whileAway, onceChanged, asked()]).toEqual([1, 2, 3]);
});

test("a phone that has let go of its room for words fetches no pictures into it", async () => {
  aPhotoOf("open-one", "open");
  await pull(ben.line);
  await ben.store.ballast.clear();
  const before = server.log.length;

  await keepThumbsOfOpenIssues(ben.line);
  const looked = await rendition(ben.line, { id: "photo-of-open-one", size: "large" });

  expect(looked).toBeDefined();
  expect(server.log.slice(before).map(({ path }) => path)).toEqual([
    "/api/photos/photo-of-open-one/1280",
  ]);
  expect(await ben.store.thumbs.count()).toBe(0);
});

test("rule 14: a picture that was asked for while access ended is not kept", async () => {
  aPhotoOf("open-one", "open");
  await pull(ben.line);
  const { fetch } = ben.line.wire;
  const slow: typeof fetch = async (...asked) => {
    const answer = await fetch(...asked);
    server.seen = new Set();
    await pull(ben.line);
    return answer;
  };

  const line = { ...ben.line, wire: { ...ben.line.wire, fetch: slow } };
  await rendition(line, { id: "photo-of-open-one", size: "thumb" });

  expect(await ben.store.rows.count()).toBe(0);
  expect(await ben.store.thumbs.count()).toBe(0);
});

test("rule 14: pictures of photos that a job read anew no longer shows go, and those of the others stay", async () => {
  aPhotoOf("one", "open");
  aPhotoOf("other", "open");
  await pull(ben.line);
  await keepThumbsOfOpenIssues(ben.line);
  await rendition(ben.line, { id: "photo-of-one", size: "large" });
  server.rows = server.rows.filter(({ id }) => id !== "photo-of-one");
  server.epoch += 1;

  await pull(ben.line);

  expect(await ben.store.thumbs.toCollection().primaryKeys()).toEqual([
    ["photo-of-other", "thumb"],
  ]);
});

test("rule 14: pictures that no row names any more go when access to the job ends", async () => {
  aPhotoOf("one", "open");
  await pull(ben.line);
  await keepThumbsOfOpenIssues(ben.line);
  await ben.store.rows.delete(["photo", "photo-of-one"]);
  server.seen = new Set();

  await pull(ben.line);

  expect(await ben.store.thumbs.count()).toBe(0);
});
