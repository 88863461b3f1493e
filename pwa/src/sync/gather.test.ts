/** A link ends and the next one is opened on the same phone: what waits there goes by it, once. */
import { beforeEach, expect, test, vi } from "vitest";
import { answerIssue } from "../actions/answerIssue";
import { saveDraft, saveDraftPhotos } from "../actions/drafts";
import { readDraftPhotos } from "../local/draft_photos";
import { home } from "../local/home";
import { otherLinks } from "../local/other_links";
import type { Store } from "../local/store";
import { readLeftBehind } from "../queries/left-behind";
import { readMerged } from "../queries/rows";
import { aLinkOpened, aPhoto, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { sendInBackground } from "./background";
import type { Locks } from "./drainer";
import { gatherWork, takeOverFrom } from "./gather";
import { readyPhotos } from "./photos";
import { push } from "./push";
import { exchangeWords } from "./round";

/** Nobody else is at work. */
const locks = { request: async (_name: string, work: () => unknown) => await work() } as Locks;
const issue = {
  table: "issue",
  id: "issue-1",
  job_id: "job-1",
  fields: { state: "open", who_must_act: "contractor" },
};

let server: FakeServer;
let first: Phone;

beforeEach(async () => {
  await home.sessions.clear();
  server = new FakeServer();
  server.change(issue);
  first = await openLinkOf("Pat");
  await exchangeWords(first.line);
});

const openLinkOf = (recipient: string) => aLinkOpened(server, { jobId: "job-1", recipient });

async function answer(words: string, more: object = {}): Promise<void> {
  const result = await answerIssue({
    jobId: "job-1",
    issueId: "issue-1",
    fixed: true,
    words,
    promisedOn: null,
    ...more,
  });
  expect(result.ok).toBe(true);
}

const answers = () =>
  server.log
    .filter(({ path }) => path === "/api/sync/push")
    .flatMap(({ body }) => body["lanes"] as { mutations: { id: string; type: string }[] }[])
    .flatMap(({ mutations }) => mutations)
    .filter(({ type }) => type === "issue.answer");

const revOf = (id: string) => server.rows.find((row) => row.id === id)?.rev;

async function filled(store: Store): Promise<string[]> {
  const counts = await Promise.all(store.tables.map(async (one) => [one.name, await one.count()]));
  return counts.filter(([, count]) => count !== 0).map(([name]) => String(name));
}

test("an answer and its photo that waited when a link ended go by the next link of the same person", async () => {
  await answer("tightened", { photo: aPhoto() });
  const sent = await first.store.outbox.toCollection().primaryKeys();
  const next = await openLinkOf("Pat");

  await gatherWork(next.who, { locks });
  const waiting = await next.store.outbox.orderBy("[job_id+seq]").toArray();
  await exchangeWords(next.line);

  expect(waiting.map(({ seq }) => seq)).toEqual([1, 2]);
  expect(waiting.map(({ id }) => id).toSorted()).toEqual(sent.toSorted());
  expect(answers()).toHaveLength(1);
  expect(await next.store.outbox.count()).toBe(0);
  const [photo] = await readyPhotos(next.store);
  expect(await (await next.store.photos_full.get(photo?.id ?? ""))?.blob.text()).toBe(
    "a large picture",
  );
  expect(await next.store.thumbs.count()).toBe(1);
});

test("what waits shows under the new link before it is sent", async () => {
  await answer("tightened");
  const next = await openLinkOf("Pat");
  server.before = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);
  await gatherWork(next.who, { locks });

  await next.store.rows.bulkPut(await first.store.rows.toArray());
  await next.store.rows.put({ ...issue, table: "issue", rev: 1 });

  const { issue: shown } = await readMerged(next.store, "job-1");
  expect(shown).toMatchObject([{ state: "answered", pending: true }]);
});

test("rows, photos and small pictures of the ended link leave the phone, and it is forgotten", async () => {
  await answer("tightened", { photo: aPhoto() });
  await first.store.thumbs.put({ id: "p9", size: "large", blob: new Blob(["x"]), kept_at: "" });
  const next = await openLinkOf("Pat");

  await gatherWork(next.who, { locks });

  expect(await filled(first.store)).toEqual([]);
  expect((await home.sessions.toArray()).map((one) => one.principal_id)).toEqual([
    next.who.principal_id,
  ]);
});

test("an answer that the server had taken under the first link is not taken again under the next", async () => {
  await answer("tightened");
  server.after = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);
  await push(first.line);
  server.after = () => undefined;
  const rev = revOf("issue-1");
  const next = await openLinkOf("Pat");

  await gatherWork(next.who, { locks });
  await exchangeWords(next.line);

  expect(revOf("issue-1")).toBe(rev);
  expect(await next.store.outbox.count()).toBe(0);
  expect(await next.store.attention.count()).toBe(0);
});

/** As a phone that dies at this moment: nothing of the transaction under way is on disk, and nothing comes after it. */
function diesAtDeleteFrom(table: "outbox" | "uploads"): () => Promise<unknown> {
  const die = () => {
    first.store.close();
    throw new Error("killed");
  };
  first.store[table].hook("deleting", die);
  return async () => {
    first.store[table].hook("deleting").unsubscribe(die);
    await first.store.open();
  };
}

test.each(["outbox", "uploads"] as const)(
  "killed after the copy and before the %s of the ended link is cleared: nothing is lost or doubled",
  async (table) => {
    await answer("tightened", { photo: aPhoto() });
    const next = await openLinkOf("Pat");
    const revive = diesAtDeleteFrom(table);
    await expect(gatherWork(next.who, { locks })).rejects.toThrow();
    const photos = await next.store.photos_full.count();
    await revive();
    const inBoth = await first.store.outbox.count();

    await gatherWork(next.who, { locks });
    await exchangeWords(next.line);

    expect([photos, inBoth]).toEqual([1, 2]);
    expect(answers()).toHaveLength(1);
    expect(await next.store.photos_full.count()).toBe(1);
    expect(await filled(first.store)).toEqual([]);
  },
);

test("killed between, and sent by the new link before the old store is cleared: still once", async () => {
  await answer("tightened", { photo: aPhoto() });
  const next = await openLinkOf("Pat");
  const revive = diesAtDeleteFrom("outbox");
  await expect(gatherWork(next.who, { locks })).rejects.toThrow();
  await exchangeWords(next.line);
  const rev = revOf("issue-1");
  await revive();

  await gatherWork(next.who, { locks });
  await exchangeWords(next.line);

  expect(revOf("issue-1")).toBe(rev);
  expect(answers()).toHaveLength(1);
  expect(await filled(first.store)).toEqual([]);
});

test("killed before the old copy of a photo is cleared, and the photo is stored meanwhile: it is not sent again", async () => {
  await answer("tightened", { photo: aPhoto() });
  await exchangeWords(first.line);
  const [id = ""] = await first.store.uploads.toCollection().primaryKeys();
  const next = await openLinkOf("Pat");
  const revive = diesAtDeleteFrom("uploads");
  await expect(gatherWork(next.who, { locks })).rejects.toThrow();
  server.change({ table: "photo", id, job_id: "job-1", fields: { state: "stored" } });
  await exchangeWords(next.line);
  await revive();

  await gatherWork(next.who, { locks });

  expect(await next.store.uploads.count()).toBe(0);
  expect(await next.store.photos_full.count()).toBe(0);
  expect(await filled(first.store)).toEqual([]);
});

test("a photo that was announced under the first link is sent by the next one", async () => {
  await answer("tightened", { photo: aPhoto() });
  await exchangeWords(first.line);
  const next = await openLinkOf("Pat");

  await gatherWork(next.who, { locks });
  await exchangeWords(next.line);
  await exchangeWords(next.line);

  expect(await readyPhotos(next.store)).toHaveLength(1);
});

test("somebody else's work is offered and not sent by itself; their rows leave the phone at once", async () => {
  await answer("tightened", { photo: aPhoto() });
  const lee = await openLinkOf("Lee");

  await gatherWork(lee.who, { locks });
  const offered = await readLeftBehind(lee.who);
  await exchangeWords(lee.line);

  expect(offered).toMatchObject([{ name: "Pat", changes: 1, photos: 1, drafts: 0 }]);
  expect(answers()).toEqual([]);
  expect(await first.store.rows.count()).toBe(0);
  expect(await first.store.cursors.count()).toBe(0);
  expect(await first.store.photos_full.count()).toBe(1);
});

test("somebody else's work goes by this link when its holder says so", async () => {
  await answer("tightened", { photo: aPhoto() });
  const lee = await openLinkOf("Lee");
  await gatherWork(lee.who, { locks });

  await takeOverFrom(first.who.principal_id, { who: lee.who, locks });
  await exchangeWords(lee.line);

  expect(answers()).toHaveLength(1);
  expect(await readyPhotos(lee.store)).toHaveLength(1);
  expect(await readLeftBehind(lee.who)).toEqual([]);
  expect(await otherLinks(lee.who)).toEqual([]);
});

test("a link to another job is left alone", async () => {
  await answer("tightened");
  const other = await aLinkOpened(server, { jobId: "job-2", recipient: "Pat" });

  await gatherWork(other.who, { locks });

  expect(await first.store.outbox.count()).toBe(1);
  expect(await first.store.rows.count()).toBe(1);
});

test("what is half written comes along; what is being written here already is not overwritten", async () => {
  await saveDraft("answer:issue-1", { words: "half of it" });
  await saveDraftPhotos("answer:issue-1", [aPhoto()]);
  await saveDraft("answer:issue-2", { words: "of before" });
  await saveDraftPhotos("answer:issue-2", [aPhoto()]);
  const next = await openLinkOf("Pat");
  const saved_at = "2099-11-26T09:00:00.000Z";
  await next.store.drafts.put({ key: "answer:issue-2", value: { words: "of now" }, saved_at });

  await gatherWork(next.who, { locks });
  const kept = await first.store.drafts.get("answer:issue-2");
  const pictures = await first.store.draft_photos.toCollection().primaryKeys();
  await next.store.drafts.delete("answer:issue-2");
  await gatherWork(next.who, { locks });

  expect(kept?.value).toEqual({ words: "of before" });
  expect(pictures.map(([key, , size]) => [key, size])).toEqual([
    ["answer:issue-2", "full"],
    ["answer:issue-2", "thumb"],
  ]);
  expect((await next.store.drafts.get("answer:issue-1"))?.value).toEqual({ words: "half of it" });
  expect((await next.store.drafts.get("answer:issue-2"))?.value).toEqual({ words: "of before" });
  for (const key of ["answer:issue-1", "answer:issue-2"]) {
    const [photo] = (await readDraftPhotos(next.store, key)) ?? [];
    expect(await photo?.full.text()).toBe("a large picture");
  }
  expect(await filled(first.store)).toEqual([]);
});

test("a phone that dies while the pictures of a draft move has them all after the next start", async () => {
  await saveDraft("answer:issue-1", { words: "half of it" });
  await saveDraftPhotos("answer:issue-1", [aPhoto()]);
  const next = await openLinkOf("Pat");
  const die = () => {
    throw new Error("died");
  };
  next.store.drafts.hook("creating", die);
  await expect(gatherWork(next.who, { locks })).rejects.toThrow("died");
  next.store.drafts.hook("creating").unsubscribe(die);

  await gatherWork(next.who, { locks });

  expect(await readDraftPhotos(next.store, "answer:issue-1")).toHaveLength(1);
  expect(await filled(first.store)).toEqual([]);
});

test("what somebody else sent repeats no row of the job once their rows have left", async () => {
  await answer("tightened");
  await exchangeWords(first.line);
  const before = await first.store.receipts.toArray();
  const lee = await openLinkOf("Lee");

  await gatherWork(lee.who, { locks });

  expect(before[0]?.shown).not.toEqual([]);
  expect(await first.store.receipts.toArray()).toMatchObject([
    { shown: [], mutation: { fields: { words: "tightened" } } },
  ]);
});

test("what needs attention comes along", async () => {
  server.refuses.add("issue-1");
  await answer("tightened");
  await exchangeWords(first.line);
  const next = await openLinkOf("Pat");

  await gatherWork(next.who, { locks });

  expect(await next.store.attention.toArray()).toMatchObject([
    { outcome: "refused", fields: { words: "tightened" } },
  ]);
});

test("what needs attention stays, though the list of the next link does not have it", async () => {
  const item = {
    job_id: "job-1",
    type: "issue.answer",
    outcome: "refused",
    detail: {},
    mutation: {},
  };
  const asideOf = (id: string) => ({
    ...item,
    id,
    entity: "issue-1",
    at: "2026-11-25T09:00:00.000Z",
  });
  server.aside = [asideOf("a")];
  await exchangeWords(first.line);
  const next = await openLinkOf("Pat");
  await gatherWork(next.who, { locks });
  server.aside = [asideOf("b"), asideOf("c")];

  await exchangeWords(next.line);

  const ids = await next.store.attention.toCollection().primaryKeys();
  expect(ids.toSorted()).toEqual(["a", "b", "c"]);
});

test("rule 13: a server that lost what the first link had sent is offered it by the next one", async () => {
  const { rows, heads, lanes, taken } = server;
  const kept = structuredClone({ rows, heads, lanes, taken });
  await answer("tightened");
  await exchangeWords(first.line);
  const next = await openLinkOf("Pat");
  await gatherWork(next.who, { locks });
  await exchangeWords(next.line);
  Object.assign(server, kept, { epoch: server.epoch + 1 });

  await exchangeWords(next.line);
  await exchangeWords(next.line);

  expect(server.rows.find((row) => row.id === "issue-1")?.fields).toMatchObject({
    words: "tightened",
  });
});

test("with no tab open only the link opened last is sent for: the cookie is its own", async () => {
  await answer("tightened");
  const next = await aLinkOpened(server, { jobId: "job-2", recipient: "Pat" });
  vi.stubGlobal("navigator", {
    locks: { request: (_n: string, _o: object, work: (lock: object) => unknown) => work({}) },
  });
  vi.stubGlobal("fetch", server.fetch);
  server.log = [];

  await sendInBackground();
  vi.unstubAllGlobals();

  expect(server.log).toEqual([]);
  expect(await first.store.outbox.count()).toBe(1);
  expect(await next.store.outbox.count()).toBe(0);
});
