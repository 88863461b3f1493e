import { liveQuery } from "dexie";
import { beforeEach, expect, test } from "vitest";
import { saveDraft, saveDraftPhotos } from "../actions/drafts";
import { markStep } from "../actions/markStep";
import { keepAttention } from "../actions/resendMutation";
import { setUnit } from "../actions/setUnit";
import { enterSession, type Session } from "../local/session";
import type { Store } from "../local/store";
import { countUnsent } from "../local/tally";
import { setAsideHere } from "../sync/lanes";
import { tellOfPhoto } from "../sync/photo_state";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { until } from "../testing/until";
import { readMerged } from "./rows";
import { readStored } from "./stored";
import { countWaiting } from "./sync";

let store: Store;
let who: Session;

beforeEach(async () => {
  ({ store, who } = await benWithAPhone(new FakeServer()));
});

test("an issue with a photo is one change and one photo, not two changes and a photo", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });

  expect(await countWaiting(store)).toMatchObject({ waiting: 1, photos_waiting: 1 });
  expect(await readStored(store)).toMatchObject({ waiting: 1, photos: 1 });
});

test("an entry that is half written is one, however many photos it has", async () => {
  await saveDraft("log:job-1:u1", { words: "oil" });
  await saveDraftPhotos("log:job-1:u1", [aPhoto()]);
  await saveDraftPhotos("unit:u2", [aPhoto()]);

  expect(await readStored(store)).toMatchObject({ drafts: 2 });
  expect(await countUnsent(store)).toMatchObject({ drafts: 2 });
});

test("a photo whose job has left the phone still takes its room, and the storage screen says so", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await store.overlay.clear();

  expect(await readStored(store)).toMatchObject({ photos: 1, photos_bytes: aPhoto().full.size });
});

test("a photo that is sent and not yet acknowledged still waits", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await store.uploads.clear();

  expect(await countWaiting(store)).toMatchObject({ waiting: 2, photos_waiting: 0 });
});

test("a photo that stays here untaken is not sent, whether its author decides now or later", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  const [photo = ""] = await store.uploads.toCollection().primaryKeys();
  await store.outbox.clear();
  await holdPhoto(photo);

  const asked = await countWaiting(store);
  await keepAttention(photo);

  expect(asked).toMatchObject({ waiting: 0, photos_waiting: 0, attention: 1, not_taken: 1 });
  expect(await countWaiting(store)).toMatchObject({ attention: 0, not_taken: 1 });
});

test("a held photo counts also where no card tells of it", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await store.uploads.toCollection().modify({ held: true });

  expect(await countWaiting(store)).toMatchObject({ attention: 0, not_taken: 1 });
});

test("a change that no request could carry is not sent", async () => {
  await anIssue({ jobId: "job-1" });
  const [mutation] = await store.outbox.toArray();
  if (mutation) await setAsideHere(store, { mutation, code: "too_large" });

  expect(await countWaiting(store)).toMatchObject({ waiting: 0, attention: 1, not_taken: 1 });
});

async function holdPhoto(id: string): Promise<void> {
  await store.transaction("rw", store.uploads, store.attention, async () => {
    await store.uploads.update(id, { held: true });
    await tellOfPhoto(store, { id, job_id: "job-1", fields: {}, code: "photo_unsent" });
  });
}

test("the office is not asked about a step, which is for technicians to say", async () => {
  const state = { value: "failed", by_name: "Tom", at: "2026-11-25T09:00:00.000Z" };
  const fields = { state: "done", two_values: { state } };
  await store.rows.put({ table: "step", id: "s1", job_id: "job-1", rev: 1, fields });
  expect(await countWaiting(store)).toMatchObject({ attention: 1, not_taken: 0 });

  await enterSession({ ...who, role: "dispatcher" });

  expect(await countWaiting(store)).toMatchObject({ attention: 0 });
});

test("picking the state that counts already leaves who did the step and when", async () => {
  const state = { value: "failed", by_name: "Tom", at: "2026-11-25T09:00:00.000Z" };
  const done = { state: "done", done_by_name: "Ana", done_at: "2026-11-25T08:00:00.000Z" };
  const fields = { ...done, note: "", reading_id: "r1", two_values: { state } };
  await store.rows.put({ table: "step", id: "s1", job_id: "job-1", rev: 1, fields });

  await markStep({ jobId: "job-1", stepId: "s1", state: "done" });
  await markStep({ jobId: "job-1", stepId: "s1", note: "held over night" });

  const [step] = (await readMerged(store, "job-1")).step;
  expect(step).toMatchObject({ ...done, reading_id: "r1", note: "held over night" });
  expect(await countWaiting(store)).toMatchObject({ attention: 0 });
});

test("a field with two values needs a person until one of them is chosen, with no signal too", async () => {
  const place = { value: "Corridor", by_name: "Ana", at: "2026-11-25T09:00:00.000Z" };
  const at = { id: "u1", job_id: "job-1", rev: 1 };
  await store.rows.put({
    ...at,
    table: "unit",
    fields: { place: "Hall", room: "101", two_values: { place } },
  });
  await store.rows.put({ ...at, table: "step", fields: { state: "done", two_values: {} } });

  expect(await countWaiting(store)).toMatchObject({ attention: 1 });
  await setUnit({ jobId: "job-1", unitId: "u1", changes: { room: "102" } });
  expect(await countWaiting(store)).toMatchObject({ attention: 1 });
  await setUnit({ jobId: "job-1", unitId: "u1", changes: { place: "Corridor" } });
  expect(await countWaiting(store)).toMatchObject({ attention: 0 });
});

test.each(["issue", "unit", "step"] as const)(
  "a second value of a field of an %s that comes with a pull is counted at once",
  async (table) => {
    const counted: number[] = [];
    const live = liveQuery(() => countWaiting(store)).subscribe(({ attention }) =>
      counted.push(attention),
    );
    await until(() => counted.length > 0);
    expect(counted).toEqual([0]);

    const two_values = { words: { value: "x", by_name: "Ana", at: "2026-11-25T09:00:00.000Z" } };
    await store.rows.bulkPut([
      { table, id: "i1", job_id: "job-1", rev: 3, fields: { two_values } },
    ]);

    await until(() => counted.at(-1) === 1);
    live.unsubscribe();
  },
);
