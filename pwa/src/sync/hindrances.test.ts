/** What stands in the way of one part of sync must not stop the others. */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { createJob } from "../actions/createJob";
import { mendKey, saveDraft } from "../actions/drafts";
import { dismissAttention, keepAttention, resendMutation } from "../actions/resendMutation";
import type { AttentionRecord } from "../local/records";
import { readMerged } from "../queries/rows";
import { countWaiting } from "../queries/sync";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, job, json } from "../testing/server";
import type { SendBytes } from "./photos";
import { pull } from "./pull";
import { push } from "./push";
import { exchange, exchangePhotos, exchangeWords } from "./round";
import { sendPhotos } from "./sending";
import { dueForCheck } from "./sums";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

afterEach(() => vi.restoreAllMocks());

const tell = () => undefined;
const refused: AttentionRecord = {
  id: "",
  job_id: "job-1",
  type: "issue.raise",
  entity: "issue-1",
  fields: {},
  device_time: "2026-11-25T08:59:00.000Z",
  outcome: "refused",
  code: "a_rule",
  message: "A rule says no.",
  problem_fields: {},
  at: "2026-11-25T09:00:00.000Z",
};
const sheet = {
  name: "Invented Clinic",
  address: "",
  contractorFirm: "",
  timeZone: "America/Chicago",
  shiftStart: "07:00",
  shiftEnd: "15:30",
  shiftDays: [1],
  systems: [],
  units: [],
};

test("a job made after last night's backup is offered again with all that was done on it", async () => {
  const backup = structuredClone({
    rows: server.rows,
    heads: server.heads,
    lanes: server.lanes,
    taken: server.taken,
  });
  const made = idOf(await createJob(sheet));
  await anIssue({ jobId: made, words: "oil at the flare" });
  await exchangeWords(ben.line);
  Object.assign(server, backup, { epoch: 2 });

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  expect(server.rows.map((row) => row.table)).toEqual(["job", "issue"]);
  const { issue } = await readMerged(ben.store, made);
  expect(issue).toMatchObject([{ words: "oil at the flare", pending: false }]);
  expect(await ben.store.outbox.count()).toBe(0);
});

test("a job that another writer holds does not hold up the photos of the others", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await push(ben.line);
  server.busy.add("job-2");
  await anIssue({ jobId: "job-2" });
  const sent: string[] = [];
  const sendBytes: SendBytes = async (upload) => {
    sent.push(upload.photo_id);
    return "stored";
  };

  const words = await push(ben.line);
  await exchangePhotos(ben.line, { tell, sendBytes });

  expect(words).toBe("partly");
  expect(sent).toHaveLength(1);
});

test("where a full push never gets through in time, a smaller one does, and then a larger one", async () => {
  let patience = new AbortController();
  vi.spyOn(AbortSignal, "timeout").mockImplementation(() => {
    patience = new AbortController();
    return patience.signal;
  });
  for (let count = 0; count < 8; count += 1) {
    await anIssue({ jobId: "job-1" });
  }
  server.before = ({ path, body }) => {
    const lanes = (body["lanes"] ?? []) as { mutations: unknown[] }[];
    if (path !== "/api/sync/push" || (lanes[0]?.mutations.length ?? 0) <= 2) return undefined;
    patience.abort();
    return "cut";
  };

  const ends = [await push(ben.line), await push(ben.line), await push(ben.line)];
  server.before = () => undefined;
  ends.push(await push(ben.line));

  expect(ends).toEqual(["later", "later", "later", "done"]);
  expect(server.pushes().map((sent) => sent.length)).toEqual([8, 4, 2, 4, 2, 4]);
  expect(await ben.store.outbox.count()).toBe(0);
});

test("where a whole page never arrives in time, a smaller one does, and then larger ones", async () => {
  let patience = new AbortController();
  vi.spyOn(AbortSignal, "timeout").mockImplementation(() => {
    patience = new AbortController();
    return patience.signal;
  });
  for (let count = 0; count < 600; count += 1) {
    server.change({ table: "issue", id: `issue-${count}`, job_id: "job-1", fields: {} });
  }
  server.before = ({ body }) => {
    if (Number(body["limit"]) <= 300) return undefined;
    patience.abort();
    return "cut";
  };

  const ends = [await pull(ben.line), await pull(ben.line), await pull(ben.line)];
  server.before = () => undefined;
  ends.push(await pull(ben.line));

  expect(ends).toEqual(["later", "later", "later", "done"]);
  expect(server.log.map(({ body }) => body["limit"])).toEqual([1000, 500, 250, 500, 250, 500]);
  expect(await ben.store.rows.count()).toBe(600);
});

test("a full phone sends its photos although it cannot note that it does", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await push(ben.line);
  ben.store.uploads.hook("updating", full);

  const sent: string[] = [];
  await sendPhotos(ben.line, {
    tell,
    sendBytes: async ({ photo_id }) => {
      sent.push(photo_id);
      return "stored";
    },
  });

  expect(sent).toHaveLength(1);
});

function full(): never {
  throw new DOMException("no room", "QuotaExceededError");
}

test("a full phone has room again once the server has its photos", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await exchangeWords(ben.line);
  const [photo = ""] = await ben.store.photos_full.toCollection().primaryKeys();
  server.change({ table: "photo", id: photo, job_id: "job-1", fields: { state: "stored" } });
  let hasPhoto = true;
  ben.store.rows.hook("updating", () => (hasPhoto ? full() : undefined));
  ben.store.photos_full.hook("deleting", () => {
    hasPhoto = false;
  });

  await exchangeWords(ben.line);

  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.rows.get(["photo", photo])).toMatchObject({ fields: { state: "stored" } });
});

test("what the phone has no room for of its set-aside work does not hold up its photos", async () => {
  const detail = { code: "a_rule", message: "A rule says no." };
  const mutation = { fields: {}, device_time: "2026-11-25T08:59:00.000Z" };
  const told = { detail, mutation, at: mutation.device_time, entity: "", outcome: "refused" };
  server.aside = [{ id: "a", job_id: "job-1", type: "issue.raise", ...told }];
  ben.store.attention.hook("creating", full);

  expect(await exchangeWords(ben.line)).toBe("done");
});

test("a phone that its own unsent photos have filled sends them, and has room again", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await ben.store.ballast.clear();
  let hasPhoto = true;
  const unlessSent = () => (hasPhoto ? full() : undefined);
  for (const table of ["receipts", "rows", "ballast"] as const) {
    ben.store[table].hook("creating", unlessSent);
  }
  ben.store.photos_full.hook("deleting", () => {
    hasPhoto = false;
  });
  const sendBytes: SendBytes = async ({ photo_id: id }) => {
    server.change({ table: "photo", id, job_id: "job-1", fields: { state: "stored" } });
    return "stored";
  };

  const words = await exchangeWords(ben.line);
  const waiting = await ben.store.outbox.count();
  await exchangePhotos(ben.line, { tell, sendBytes });
  await exchangeWords(ben.line);

  expect({ words, waiting }).toEqual({ words: "phone_full", waiting: 2 });
  expect(await ben.store.photos_full.count()).toBe(0);
  expect(await ben.store.outbox.count()).toBe(0);
  expect(await ben.store.ballast.count()).toBe(1);
});

test("where there is room for few receipts at once they are stored a few at a time", async () => {
  for (let count = 0; count < 5; count += 1) {
    await anIssue({ jobId: "job-1" });
  }
  const inOne = new Map<unknown, number>();
  ben.store.receipts.hook("creating", (_key, _receipt, transaction) => {
    const stored = (inOne.get(transaction.idbtrans) ?? 0) + 1;
    inOne.set(transaction.idbtrans, stored);
    return stored > 2 ? full() : undefined;
  });

  expect(await exchangeWords(ben.line)).toBe("done");
  expect(await ben.store.outbox.count()).toBe(0);
  expect(await ben.store.receipts.count()).toBe(5);
});

test("a server that answered and took all but one lane is not called silent", async () => {
  server.busy.add("job-2");
  await anIssue({ jobId: "job-2" });

  expect(await exchange(ben.line, { tell })).toBe("partly");
});

test("a photo whose announcement no request can carry does not count as waiting", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  server.before = ({ path }) =>
    path === "/api/sync/push"
      ? json({ error: { code: "malformed", message: "", fields: {} } }, 422)
      : undefined;

  // Two changes, the issue and its photo: the first card comes with the second round.
  for (let round = 0; round < 3; round += 1) await push(ben.line);

  expect(await countWaiting(ben.store)).toMatchObject({ waiting: 0, photos_waiting: 0 });
  expect(await ben.store.photos_full.count()).toBe(1);
});

test("rows compared while the clock was a year ahead are compared again today", async () => {
  server.change(job);
  await pull(ben.line);
  await ben.store.cursors.update("job-1", { checked_at: "2099-01-01T00:00:00.000Z" });

  expect(await dueForCheck(ben.store)).toEqual(["job-1"]);
});

test("on a phone too full for it, putting off and giving up say so", async () => {
  await ben.store.attention.put({ ...refused, id: "m1" });
  ben.store.attention.hook("updating", full);
  ben.store.settled.hook("creating", full);

  expect(await keepAttention("m1")).toMatchObject({ ok: false, code: "disk_full" });
  expect(await dismissAttention("m1")).toMatchObject({ ok: false, code: "disk_full" });
  expect(await ben.store.attention.count()).toBe(1);
});

test("what is being mended is gone from the drafts once it is sent again or given up", async () => {
  const fields = { unit_id: null, category: "leak", words: "oil", stops: [] };
  await ben.store.attention.bulkPut([
    { ...refused, id: "m1", entity: "i1", fields },
    { ...refused, id: "m2" },
  ]);
  await saveDraft(mendKey("m1"), { words: "oil at the flare" });
  await saveDraft(mendKey("m2"), { words: "never mind" });

  await resendMutation("m1", { ...fields, words: "oil at the flare" });
  await dismissAttention("m2");

  expect(await ben.store.drafts.count()).toBe(0);
  expect(await ben.store.outbox.toArray()).toMatchObject([
    { fields: { words: "oil at the flare" } },
  ]);
});
