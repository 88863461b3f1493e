/** The rules of sync that need more than one part of the phone, one by one, by their numbers. */
import { beforeEach, expect, test } from "vitest";
import { saveDraftPhotos } from "../actions/drafts";
import { markStep } from "../actions/markStep";
import { dismissAttention, resendMutation } from "../actions/resendMutation";
import { deviceIdOf } from "../local/device";
import { keepBallast } from "../local/disk";
import type { AttentionRecord } from "../local/records";
import { readMerged } from "../queries/rows";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job, step } from "../testing/server";
import { readSetAside, tellSettled } from "./aside";
import { readyPhotos } from "./photos";
import { pull } from "./pull";
import { push } from "./push";
import { exchangePhotos, exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

const aside = (id: string) => ({
  id,
  job_id: "job-1",
  type: "issue.raise",
  entity: `${id}-issue`,
  outcome: "refused",
  detail: { code: "a_rule", message: "A rule says no.", fields: { words: ["too bad"] } },
  at: "2026-11-25T09:00:00.000Z",
  mutation: { fields: { words: "oil" }, device_time: "2026-11-25T08:59:00.000Z" },
});
const attention = async () => (await ben.store.attention.toArray()).map((item) => item.id);

test("rule 9: a phone that lost its store shows again what of its work was set aside", async () => {
  server.aside = [aside("c"), aside("b"), aside("a")];
  server.asideAtOnce = 2;

  await exchangeWords(ben.line);

  expect((await attention()).toSorted()).toEqual(["a", "b", "c"]);
  expect(await ben.store.attention.get("a")).toMatchObject({
    outcome: "refused",
    code: "a_rule",
    entity: "a-issue",
    fields: { words: "oil" },
    problem_fields: { words: "too bad" },
  });
});

test("rule 9: what was set aside keeps its place in its lane, told by its receipt or by the server's list", async () => {
  const first = idOf(await anIssue({ jobId: "job-1" }));
  server.refuses.add(first);
  const [sent = ""] = await ben.store.outbox.toCollection().primaryKeys();
  server.aside = [{ ...aside("b"), device_id: "tablet", seq: 7 }];

  await exchangeWords(ben.line);

  const own = { device_id: await deviceIdOf(ben.store), seq: 1 };
  expect(await ben.store.attention.get(sent)).toMatchObject(own);
  expect(await ben.store.attention.get("b")).toMatchObject({ device_id: "tablet", seq: 7 });
});

const several = (count: number) => Array.from({ length: count }, (_, n) => aside(`a${n}`));

test("rule 9: what was settled elsewhere goes, however much it is, and what the server was never told of stays", async () => {
  server.settledAtOnce = 200;
  server.aside = several(301);
  await exchangeWords(ben.line);
  const [told] = await ben.store.attention.toArray();
  await ben.store.attention.put({ ...(told as AttentionRecord), id: "own" });
  await ben.store.attention
    .where("id")
    .equals("own")
    .modify((card) => delete card.told_in);

  for (const { id } of several(300)) server.settled.add(id);
  await exchangeWords(ben.line);

  expect((await attention()).toSorted()).toEqual(["a300", "own"]);
});

test("rule 9: nothing goes while the list could not be read to its end", async () => {
  server.aside = several(4);
  server.asideAtOnce = 2;
  await exchangeWords(ben.line);
  server.aside = [aside("new"), ...server.aside];
  server.before = ({ path }) => (path.includes("after=") ? "cut" : undefined);

  await exchangeWords(ben.line);

  expect((await attention()).toSorted()).toEqual(["a0", "a1", "a2", "a3", "new"]);
});

test("rule 13: what waits for its author stays when a restored server has it on no list", async () => {
  server.aside = [aside("b"), aside("a")];
  await exchangeWords(ben.line);
  server.aside = [aside("c")];
  server.epoch += 1;

  await exchangeWords(ben.line);

  expect((await attention()).toSorted()).toEqual(["a", "b", "c"]);
});

test("rule 9: what is given up here is told, and does not come back; what another phone settled goes", async () => {
  server.aside = [aside("b"), aside("a")];
  await exchangeWords(ben.line);
  server.settled.add("b");

  await dismissAttention("a");
  await exchangeWords(ben.line);

  expect([...server.settled].toSorted()).toEqual(["a", "b"]);
  expect(await attention()).toEqual([]);
  expect(await ben.store.settled.count()).toBe(0);
});

test("rule 9: with no signal it is told later, and the list is not asked for while nothing changed", async () => {
  server.aside = [aside("a")];
  await exchangeWords(ben.line);
  await dismissAttention("a");
  server.before = () => "cut";
  await tellSettled(ben.line);
  server.before = () => undefined;

  await readSetAside(ben.line);
  const asked = server.log.filter(({ path }) => path === "/api/set-aside").length;
  await tellSettled(ben.line);

  expect(asked).toBe(1);
  expect(server.settled.has("a")).toBe(true);
});

test("rule 9: what they settled on another phone before its answer came to this one is not asked again", async () => {
  server.refuses.add(idOf(await anIssue({ jobId: "job-1" })));
  const [sent = ""] = await ben.store.outbox.toCollection().primaryKeys();
  server.aside = [aside(sent)];
  server.settled.add(sent);
  await pull(ben.line);
  await readSetAside(ben.line);

  await push(ben.line);
  expect(await attention()).toEqual([sent]);
  await exchangeWords(ben.line);

  expect(await attention()).toEqual([]);
});

test("rule 14: a photo that nobody else has stays with who took it, and goes when access comes back", async () => {
  server.change(job);
  await pull(ben.line);
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await push(ben.line);
  const [photo = ""] = await ben.store.uploads.toCollection().primaryKeys();
  await ben.store.uploads.update(photo, { started_at: "2026-11-25T09:00:00.000Z" });
  server.change({ table: "photo", id: photo, job_id: "job-1", fields: { state: "pending" } });

  server.seen = new Set();
  await exchangeWords(ben.line);
  const without = {
    rows: await ben.store.rows.count(),
    full: await ben.store.photos_full.count(),
    ready: (await readyPhotos(ben.store)).length,
    attention: await ben.store.attention.toArray(),
  };
  server.seen = null;
  await exchangeWords(ben.line);

  expect(without).toMatchObject({ rows: 0, full: 1, ready: 0 });
  expect(without.attention).toMatchObject([{ id: photo, outcome: "photo_unsent" }]);
  expect((await readyPhotos(ben.store)).map((one) => one.id)).toEqual([photo]);
  expect(await ben.store.attention.count()).toBe(0);
});

test("rule 14: unsent words are handed over before anything is purged, a stored photo goes with the job", async () => {
  server.change(job);
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await exchangeWords(ben.line);
  const [photo = ""] = await ben.store.uploads.toCollection().primaryKeys();
  await ben.store.uploads.update(photo, { uploaded_at: "2026-11-25T09:00:00.000Z" });
  await markStepOf("s1");
  server.seen = new Set();

  await pull(ben.line);
  const kept = await ben.store.outbox.count();
  await exchangeWords(ben.line);

  expect(kept).toBe(1);
  expect(await ben.store.outbox.count()).toBe(0);
  expect(await ben.store.rows.count()).toBe(0);
  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.attention.toArray()).toMatchObject([{ type: "step.mark" }]);
});

async function markStepOf(stepId: string) {
  server.change(step(stepId));
  await pull(ben.line);
  await markStep({ jobId: "job-1", stepId, state: "done" });
}

test("rule 15: a phone that holds just what the server has is left alone", async () => {
  server.change(job);
  server.change(step("s1"));

  await pull(ben.line);
  await pull(ben.line);
  await pull(ben.line);

  const asked = server.log.map(({ body }) => body);
  expect(asked[1]).toMatchObject({ check: ["job-1"] });
  expect(asked[2]).toHaveProperty("mark");
  expect(asked).toHaveLength(3);
});

test("rule 15: a phone that differs reads the job again from the start, and says so", async () => {
  server.change(job);
  server.change(step("s1"));
  await pull(ben.line);
  await ben.store.rows.where("table").equals("step").modify({ rev: 1 });

  await pull(ben.line);
  await pull(ben.line);

  expect((await ben.store.rows.get(["step", "s1"]))?.rev).toBe(2);
  const reports = server.log.map(({ body }) => body["differed"]).filter(Boolean);
  expect(reports).toEqual([[{ job_id: "job-1", tables: ["step"] }]]);
});

test("rule 15: where reading again does not help, it is told and not done for ever", async () => {
  server.change(job);
  server.change({ ...step("s1") });
  await pull(ben.line);
  server.rows = server.rows.map((row) => (row.id === "s1" ? { ...row, rev: 1 } : row));
  await ben.store.rows.where("table").equals("step").modify({ rev: 2 });
  const before = server.log.length;
  // This server answers with a row that its own sum does not know.
  server.addsToSums = { table: "unit", id: "u9", job_id: "job-1", rev: 1, fields: {} };

  for (let round = 0; round < 5; round += 1) {
    await pull(ben.line);
  }

  const asked = server.log.slice(before).map(({ body }) => body);
  const fromTheStart = asked.filter((body) => (body["cursors"] as [] | undefined)?.length === 0);
  expect(fromTheStart).toHaveLength(1);
  expect(asked.filter((body) => body["differed"])).toHaveLength(2);
  expect(asked.at(-1)).toHaveProperty("mark");
});

test("rule 16: an app too old to read is told so, and its work is sent all the same", async () => {
  server.isUpdateNeeded = true;
  await anIssue({ jobId: "job-1" });

  const ended = await exchangeWords(ben.line);
  const isTold = (await ben.store.meta.get("update_needed"))?.value;
  server.isUpdateNeeded = false;
  await exchangeWords(ben.line);

  expect(ended).toBe("done");
  expect(server.rows).toHaveLength(1);
  expect(isTold).toBe(true);
  expect(await ben.store.meta.get("update_needed")).toBeUndefined();
});

test("rule 16: a field of a row that this app does not know is kept as it came", async () => {
  server.change({ ...job, fields: { name: "Invented Hall", of_next_year: { deep: [1] } } });

  await pull(ben.line);

  const kept = await ben.store.rows.get(["job", "job-1"]);
  expect(kept?.fields).toEqual({ name: "Invented Hall", of_next_year: { deep: [1] } });
});

test("rule 16: an edit here neither sends nor removes what only a newer app knows of the row", async () => {
  const ofNextYear = { deep: [1] };
  server.change({
    ...step("s1"),
    fields: { code: "charge", state: "todo", of_next_year: ofNextYear },
  });
  await pull(ben.line);

  await markStep({ jobId: "job-1", stepId: "s1", state: "done" });
  const shown = (await readMerged(ben.store, "job-1")).step;
  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  expect(shown).toMatchObject([{ state: "done", of_next_year: ofNextYear }]);
  expect(server.pushes()[0]).toMatchObject([{ fields: { state: "done", note: null } }]);
  expect(server.pushes()[0]?.[0]?.fields).not.toHaveProperty("of_next_year");
  expect(await ben.store.rows.get(["step", "s1"])).toMatchObject({
    fields: { state: "done", of_next_year: ofNextYear },
  });
  expect(await ben.store.overlay.count()).toBe(0);
});

test("rule 16: set-aside work of a newer phone keeps what only that one knows when it is mended here", async () => {
  const mutation = {
    fields: { words: "oil", of_next_year: [1] },
    device_time: "2026-11-25T08:59:00.000Z",
  };
  const id = idOf(await anIssue({ jobId: "job-1" }));
  server.aside = [{ ...aside("a"), type: "issue.set", entity: id, mutation }];
  await exchangeWords(ben.line);
  const item = await ben.store.attention.get("a");

  await resendMutation("a", { ...item?.fields, words: "oil at the flare" });

  expect(await ben.store.outbox.toArray()).toMatchObject([
    { type: "issue.set", fields: { words: "oil at the flare", of_next_year: [1] } },
  ]);
});

test("rule 17: when nothing changed, one request of less than 400 bytes asks for all jobs", async () => {
  for (let count = 0; count < 40; count += 1) {
    server.change({ ...job, id: `job-${count}`, job_id: `job-${count}` });
  }
  for (let round = 0; round < 12; round += 1) {
    await exchangeWords(ben.line);
  }
  const before = server.log.length;

  await exchangeWords(ben.line);
  await exchangePhotos(ben.line, { tell: () => undefined });

  const idle = server.log.slice(before).filter(({ path }) => path !== "/api/people");
  expect(idle.map(({ path }) => path)).toEqual(["/api/sync/pull"]);
  expect(JSON.stringify(idle[0]?.body).length).toBeLessThan(400);
});

/** From now on the phone is full for these stores, until it has been refused so often. */
function fillUp(table: "rows", { times }: { times: number }) {
  let left = times;
  ben.store[table].hook("creating", () => {
    left -= 1;
    if (left >= 0) {
      throw new DOMException("no room", "QuotaExceededError");
    }
  });
}

test("rule 19: a full phone lets its ballast go so that the queue still empties, and no photo takes its place", async () => {
  await keepBallast(ben.store);
  await anIssue({ jobId: "job-1" });
  const isLetGo = fillUpToTheBallast();

  const ended = await exchangeWords(ben.line);
  const photo = await anIssue({ jobId: "job-1", photo: aPhoto() });
  const draft = await saveDraftPhotos("log:job-1:any", [aPhoto()]);
  const words = await anIssue({ jobId: "job-1" });

  expect(ended).toBe("done");
  expect(await ben.store.receipts.count()).toBe(1);
  expect(isLetGo()).toBe(true);
  expect(photo).toEqual({ ok: false, code: "disk_full" });
  expect(draft).toBe("full");
  expect(words.ok).toBe(true);
  expect(await ben.store.photos_full.count()).toBe(0);
});

/** From now on there is room for receipts once the ballast is gone, and none for a new ballast. */
function fillUpToTheBallast(): () => boolean {
  let isFull = true;
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };
  ben.store.receipts.hook("creating", () => (isFull ? full() : undefined));
  ben.store.ballast.hook("creating", full);
  ben.store.ballast.hook("deleting", () => {
    isFull = false;
  });
  return () => !isFull;
}

test("rule 19: a phone too full for what others did still sends its photos, which makes room", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  fillUp("rows", { times: 1_000 });
  const sent: string[] = [];

  const words = await exchangeWords(ben.line);
  await exchangePhotos(ben.line, {
    tell: () => undefined,
    sendBytes: async (upload) => {
      sent.push(upload.photo_id);
      return "stored";
    },
  });

  expect(words).toBe("done");
  expect(sent).toHaveLength(1);
});
