import { beforeEach, expect, test } from "vitest";
import { readDraft, saveDraft } from "../actions/drafts";
import type { Store } from "../local/store";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { closeCapture, openCapture, openIntent } from "./capture";

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

test("an intent of this morning is not what the person does now", async () => {
  await openCapture(intent);
  await store.intents.update("camera", { opened_at: "2026-11-25T01:00:00.000Z" });

  expect(await openIntent()).toBeUndefined();
});
