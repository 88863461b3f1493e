import { beforeEach, expect, test } from "vitest";
import { readRow } from "../local/merge";
import type { Mark } from "../local/rows";
import type { Store } from "../local/store";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { readDraft, saveDraft } from "./drafts";
import { markPhoto } from "./markPhoto";

const arrow: Mark = {
  tool: "arrow",
  points: [
    [0.1, 0.9],
    [0.5, 0.5],
  ],
};
const ring: Mark = { ...arrow, tool: "ring" };
let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

async function aSavedPhoto(marks?: Mark[]): Promise<string> {
  await anIssue({ jobId: "job-1", photo: { ...aPhoto(), ...(marks ? { marks } : {}) } });
  const [, added] = await store.outbox.orderBy("[job_id+seq]").toArray();
  return added?.entity ?? "";
}

test("what was drawn before saving goes with the photo, and no marks are none", async () => {
  const marked = await aSavedPhoto([arrow]);
  const photo = await readRow(store, { table: "photo", id: marked });
  const [, added] = await store.outbox.orderBy("[job_id+seq]").toArray();

  expect(photo?.marks).toEqual([arrow]);
  expect(added?.fields.marks).toEqual([arrow]);
  await anIssue({ jobId: "job-2", photo: aPhoto() });
  expect((await store.outbox.orderBy("[job_id+seq]").last())?.fields.marks).toEqual([]);
});

test("marks drawn later show at once beside the first, and the bytes are not touched", async () => {
  const photoId = await aSavedPhoto([arrow]);
  const before = await store.photos_full.get(photoId);
  await saveDraft(`marks:${photoId}`, { marks: [ring] });

  const result = await markPhoto({
    jobId: "job-1",
    photoId,
    marks: [ring],
    draftKey: `marks:${photoId}`,
  });

  expect(result.ok).toBe(true);
  expect((await readRow(store, { table: "photo", id: photoId }))?.marks).toEqual([arrow, ring]);
  const sent = await store.outbox.orderBy("[job_id+seq]").last();
  expect(sent).toMatchObject({ type: "photo.mark", entity: photoId, fields: { marks: [ring] } });
  expect(await store.photos_full.get(photoId)).toEqual(before);
  expect(await store.uploads.count()).toBe(1);
  expect(await readDraft(`marks:${photoId}`)).toBeUndefined();
});

test("a photo that this phone does not know cannot be drawn on", async () => {
  const result = await markPhoto({ jobId: "job-1", photoId: "unknown", marks: [ring] });

  expect(result).toEqual({ ok: false, code: "not_found" });
  expect(await store.outbox.count()).toBe(0);
});
