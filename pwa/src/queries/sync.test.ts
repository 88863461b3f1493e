import { beforeEach, expect, test } from "vitest";
import type { Store } from "../local/store";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { countWaiting } from "./sync";

let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

test("an issue with a photo is one change and one photo, not two changes and a photo", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });

  expect(await countWaiting(store)).toMatchObject({ waiting: 1, photos_waiting: 1 });
});

test("a photo that is sent and not yet acknowledged still waits", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  await store.uploads.clear();

  expect(await countWaiting(store)).toMatchObject({ waiting: 2, photos_waiting: 0 });
});
