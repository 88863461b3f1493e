import { beforeEach, expect, test } from "vitest";
import { readDraft, saveDraft, saveDraftPhotos } from "../actions/drafts";
import { keepBallast } from "../local/disk";
import type { Store } from "../local/store";
import { toldQuota } from "../offline/storage";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import {
  type CaptureIntent,
  closeCapture,
  forgetCapture,
  openCapture,
  openIntent,
  stayInCapture,
} from "./capture";

let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

const intent = { path: "/job/job-1/log?unit=u1", draftKey: "log:job-1:u1" };

test("a phone whose app was stopped behind the camera knows where to go back to", async () => {
  await saveDraft(intent.draftKey, { words: "oil" });
  await openCapture(intent);

  const found = await openIntent();

  expect(found).toMatchObject({ path: intent.path, draft_key: intent.draftKey });
  expect(await readDraft(found?.draft_key ?? "")).toEqual({ words: "oil" });
});

test("once the photo has come, or the issue is saved, there is nothing to go back to", async () => {
  await openCapture(intent);
  await closeCapture();
  const afterPhoto = await openIntent();
  await openCapture(intent);
  await anIssue({ jobId: "job-1", photo: aPhoto(), draftKey: intent.draftKey });

  expect(afterPhoto).toBeUndefined();
  expect(await openIntent()).toBeUndefined();
});

test("photo after photo in an open camera is one going on, and ends for good when that is shut", async () => {
  await openCapture(intent);
  await store.intents.update("camera", { opened_at: "2026-11-25T01:00:00.000Z" });

  const isRoom = await stayInCapture();
  const found = await openIntent();
  const staying = stayInCapture();
  await closeCapture();
  await staying;

  expect(isRoom).toBe(true);
  expect(found).toMatchObject({ path: intent.path });
  expect(await openIntent()).toBeUndefined();
});

test("an intent of this morning is not what the person does now", async () => {
  await openCapture(intent);
  await store.intents.update("camera", { opened_at: "2026-11-25T01:00:00.000Z" });

  expect(await openIntent()).toBeUndefined();
});

test("a phone that had no room for the last photo opens no camera, until there is room again", async () => {
  await keepBallast(store);
  const { makeRoom } = fillUp();
  await saveDraftPhotos(intent.draftKey, [aPhoto()]);

  const onTheFullPhone = await openCapture(intent);
  makeRoom();

  expect(onTheFullPhone).toBe(false);
  expect(await openCapture(intent)).toBe(true);
  expect(await store.ballast.count()).toBe(1);
});

test("a phone that had to let go of its ballast opens no camera, until that is back", async () => {
  const { makeRoom } = fillUp();

  const onTheFullPhone = await openCapture(intent);
  makeRoom();

  expect(onTheFullPhone).toBe(false);
  expect(await openCapture(intent)).toBe(true);
});

test("a quota that the browser makes up for everyone is not told as room that is left", () => {
  const usage = 14_560_000;
  const madeUp = [10, 1].map((gib) => toldQuota({ usage, quota: usage + gib * 2 ** 30 }));

  expect(madeUp).toEqual([{}, {}]);
  expect(toldQuota({ usage, quota: usage + 4_000_000 })).toEqual({
    quota_bytes: usage + 4_000_000,
  });
  expect(toldQuota({ usage, quota: usage })).toEqual({ quota_bytes: usage });
});

/** From now on pictures have no room here. */
function fillUp() {
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };
  const tables = [store.ballast, store.draft_photos];
  for (const { hook } of tables) hook("creating", full);
  return {
    makeRoom: () => {
      for (const { hook } of tables) hook("creating").unsubscribe(full);
    },
  };
}

test("the camera that is opened while an earlier one is told of is come back to", async () => {
  await openCapture(intent);
  await store.intents.update("camera", { opened_at: "2026-11-25T01:00:00.000Z" });
  const [earlier] = await store.intents.toArray();
  await openCapture(intent);

  await forgetCapture(earlier as CaptureIntent);

  expect(await openIntent()).toMatchObject({ path: intent.path });
});
