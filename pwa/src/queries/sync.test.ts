import { beforeEach, expect, test } from "vitest";
import { setUnit } from "../actions/setUnit";
import type { Store } from "../local/store";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { readStored } from "./stored";
import { countWaiting } from "./sync";

let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

test("an issue with a photo is one change and one photo, not two changes and a photo", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });

  expect(await countWaiting(store)).toMatchObject({ waiting: 1, photos_waiting: 1 });
  expect(await readStored(store)).toMatchObject({ waiting: 1, photos: 1 });
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
