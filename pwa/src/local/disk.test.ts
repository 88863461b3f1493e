/** What goes from a full phone so that words can still be saved, and how it is found out that it is full. */
import { expect, test, vi } from "vitest";
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

test("a phone that filled up while the app was shut is found full by trying, and so is the room it has again", async () => {
  const { store } = await benWithAPhone(new FakeServer());
  await keepBallast(store);
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };
  store.ballast.hook("creating", full);
  vi.resetModules();
  const { findRoom, isPhoneFull } = await import("./disk");

  const found = [await findRoom(store), isPhoneFull.value];
  store.ballast.hook("creating").unsubscribe(full);
  const again = [await findRoom(store), isPhoneFull.value];

  expect(found).toEqual([false, true]);
  expect(again).toEqual([true, false]);
  expect(await store.ballast.toCollection().primaryKeys()).toEqual(["ballast"]);
});
