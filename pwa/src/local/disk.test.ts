/** What goes from a full phone so that words can still be saved. */
import { expect, test } from "vitest";
import { anIssue, aPhoto, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { keepBallast, makeRoom } from "./disk";

test("to make room the ballast goes, and every picture that can be fetched again", async () => {
  const { store } = await benWithAPhone(new FakeServer());
  await keepBallast(store);
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  const own = await store.uploads.toCollection().primaryKeys();
  const fetched = { id: "of-another-phone", blob: new Blob(["a picture"]), kept_at: "" };
  await store.thumbs.bulkPut([
    { ...fetched, size: "thumb" },
    { ...fetched, size: "large" },
  ]);

  await makeRoom(store);

  expect(await store.ballast.count()).toBe(0);
  expect(await store.thumbs.toCollection().primaryKeys()).toEqual(own.map((id) => [id, "thumb"]));
});
