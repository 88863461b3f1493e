import { beforeEach, expect, test } from "vitest";
import type { AttentionRecord } from "../local/records";
import { push } from "../sync/push";
import { anIssue, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { mendKey, saveDraft } from "./drafts";
import { goingTogether } from "./hangs-on";
import { dismissAttention, resendMutation } from "./resendMutation";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

const issue = { unit_id: "u1", category: "leak", words: "oil", stops: [], opens_circuit: false };

function aCard(part: Partial<AttentionRecord> & Pick<AttentionRecord, "id">): AttentionRecord {
  return {
    job_id: "job-1",
    type: "issue.raise",
    entity: "i1",
    fields: issue,
    device_time: "2026-11-25T09:00:00.000Z",
    outcome: "set_aside",
    code: "goes_with",
    message: "",
    problem_fields: {},
    at: "2026-11-25T09:01:00.000Z",
    ...part,
  };
}

const raised = aCard({ id: "m1", code: "invalid" });
const answered = aCard({ id: "m3", type: "issue.answer", fields: { words: "done", fixed: true } });
const photo = aCard({ id: "m2", type: "photo.add", entity: "p1", fields: { issue_id: "i1" } });
const noise = aCard({ id: "m0", entity: "i9", code: "invalid" });

async function sentAfter(cards: AttentionRecord[], { press }: { press: string }) {
  await ben.store.attention.bulkPut(cards);
  const item = cards.find((card) => card.id === press);
  const done = await resendMutation(press, item?.fields ?? {});
  const sent = (await ben.store.outbox.toArray()).toSorted((a, b) => a.seq - b.seq);
  const left = (await ben.store.attention.toArray()).map(({ id }) => id);
  return { done, sent, types: sent.map(({ type }) => type), left };
}

test("what was set aside along with a new issue goes with it, in the order in which it was done", async () => {
  const { types, left } = await sentAfter([answered, noise, photo, raised], { press: "m1" });

  expect(types).toEqual(["issue.raise", "photo.add", "issue.answer"]);
  expect(left).toEqual(["m0"]);
});

test("what was done after the phone's clock was set back goes after what was done before", async () => {
  const tablet = { device_id: "tablet" };
  const lost = aCard({ id: "m9", code: "invalid", ...tablet, seq: 1 });
  const words = (said: string) => ({ words: said, fixed: false });
  const first = { ...answered, ...tablet, id: "m6", seq: 2, fields: words("first") };
  const second = { ...answered, ...tablet, id: "m5", seq: 3, fields: words("second") };

  const { sent } = await sentAfter([second, first, lost], { press: "m9" });

  expect(sent.map(({ fields }) => fields["words"])).toEqual(["oil", "first", "second"]);
});

test("another change of the same issue stays where it is when one is sent again", async () => {
  await ben.store.rows.put({ table: "issue", id: "i1", job_id: "job-1", rev: 3, fields: issue });
  const proof = { type: "issue.prove", code: "wrong_state", fields: { words: "runs" } };
  const cards = [aCard({ id: "m4", ...proof }), aCard({ id: "m5", ...proof })];

  const { sent, left } = await sentAfter(cards, { press: "m5" });

  expect(sent).toHaveLength(1);
  expect(left).toEqual(["m4"]);
});

test("what has a fault of its own does not go along with the issue it is about", async () => {
  const faulty = { ...answered, code: "invalid" };

  const { types, left } = await sentAfter([raised, faulty], { press: "m1" });

  expect(types).toEqual(["issue.raise"]);
  expect(left).toEqual(["m3"]);
});

test("what was mended on another card goes as mended, and its draft is used up", async () => {
  await saveDraft(mendKey("m3"), { words: "brazed and held" });

  const { sent } = await sentAfter([raised, answered], { press: "m1" });

  expect(sent[1]?.fields).toEqual({ words: "brazed and held", fixed: true });
  expect(await ben.store.drafts.count()).toBe(0);
});

test("what was still to be written of a card that is sent again leaves no draft behind", async () => {
  const typing = { words: "brazed and held" };

  await sentAfter([raised], { press: "m1" });
  // Typed before the press, and written after it.
  await saveDraft(mendKey("m1"), typing, { turn: 0 });

  expect(await ben.store.drafts.count()).toBe(0);
});

test("what was kept for later never goes along", async () => {
  const kept = { ...photo, kept_at: "2026-11-25T10:00:00.000Z" };

  const { types, left } = await sentAfter([raised, kept, answered], { press: "m1" });

  expect(types).toEqual(["issue.raise", "issue.answer"]);
  expect(left).toEqual(["m2"]);
});

test("what hangs on something that was kept for later stays with it when the job is sent again", async () => {
  const job = aCard({ id: "m0", type: "job.create", entity: "job-1", code: "structure" });
  const fields = { name: "Hall", systems: [], units: [] };
  const kept = { ...raised, code: "goes_with", kept_at: "2026-11-25T10:00:00.000Z" };
  const cards = [{ ...job, fields }, kept, photo];

  const { types, left } = await sentAfter(cards, { press: "m0" });

  expect(types).toEqual(["job.create"]);
  expect(left).toEqual(["m1", "m2"]);
});

test("pressed on what hangs on a new issue, the issue goes first and all of it in order", async () => {
  const { types, left } = await sentAfter([raised, photo, answered], { press: "m3" });

  expect(types).toEqual(["issue.raise", "photo.add", "issue.answer"]);
  expect(left).toEqual([]);
});

test("an issue that was sent again and set aside again still goes before what hangs on it", async () => {
  const { types } = await sentAfter([{ ...raised, id: "m7" }, answered], { press: "m3" });

  expect(types).toEqual(["issue.raise", "issue.answer"]);
});

test("what hangs on an issue that was kept for later waits for it, and nothing is sent", async () => {
  const kept = { ...raised, kept_at: "2026-11-25T10:00:00.000Z" };

  const { done, sent, left } = await sentAfter([kept, answered], { press: "m3" });

  expect(done).toMatchObject({ ok: false, code: "not_found" });
  expect(sent).toEqual([]);
  expect(left).toEqual(["m1", "m3"]);
});

test("a card knows what goes before it and what goes after it", () => {
  const cards = [answered, photo, raised, noise];

  const ids = (all: AttentionRecord[]) => all.map(({ id }) => id);
  const together = goingTogether(photo, { cards });

  expect(ids(together.before)).toEqual(["m1"]);
  expect(ids(together.after)).toEqual(["m3"]);
  expect(goingTogether(noise, { cards })).toMatchObject({ before: [], after: [] });
});

test("pressed twice at once, or on two tabs, it goes once, and nobody is told of a trouble", async () => {
  await ben.store.attention.bulkPut([raised, answered]);

  const both = await Promise.all([resendMutation("m1", issue), resendMutation("m1", issue)]);
  const later = await resendMutation("m1", issue);

  expect([...both, later].map(({ ok }) => ok)).toEqual([true, true, true]);
  const sent = await ben.store.outbox.orderBy("[job_id+seq]").toArray();
  expect(sent.map(({ type }) => type)).toEqual(["issue.raise", "issue.answer"]);
});

test("what goes along goes once, whichever of the cards is pressed on two tabs", async () => {
  await ben.store.attention.bulkPut([raised, photo, answered]);

  await Promise.all([resendMutation("m1", issue), resendMutation("m3", answered.fields)]);

  const sent = await ben.store.outbox.toArray();
  expect(sent.map(({ type }) => type).toSorted()).toEqual([
    "issue.answer",
    "issue.raise",
    "photo.add",
  ]);
  expect(sent.map(({ seq }) => seq).toSorted()).toEqual([1, 2, 3]);
});

test("given up on one tab and sent again on another at once, one of the two counts", async () => {
  await ben.store.attention.bulkPut([{ ...photo, code: "invalid" }]);
  await ben.store.photos_full.put({ id: "p1", blob: new Blob(["a picture"]) });

  await Promise.all([dismissAttention("m2"), resendMutation("m2", photo.fields)]);

  expect(await ben.store.outbox.count()).toBe(await ben.store.photos_full.count());
  expect(await ben.store.attention.count()).toBe(0);
});

test("each says which one it replaces, so that what the server has taken by itself meanwhile counts once", async () => {
  await ben.store.attention.bulkPut([raised, answered]);
  await resendMutation("m1", issue);
  await anIssue({ jobId: "job-1" });

  await push(ben.line);

  const sent = server.pushes().flat() as { type: string; replaces?: string }[];
  expect(sent.map(({ type, replaces }) => [type, replaces])).toEqual([
    ["issue.raise", "m1"],
    ["issue.answer", "m3"],
    ["issue.raise", undefined],
  ]);
  expect(sent[2]).not.toHaveProperty("replaces");
});
