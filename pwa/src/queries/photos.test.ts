import { afterEach, expect, test } from "vitest";
import { tellStatus } from "../sync/status";
import { benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { startPhoto } from "./photos";

afterEach(() => tellStatus({ sending: false }));

test("a photo of this phone shows at once, also while others are on their way", async () => {
  const { store } = await benWithAPhone(new FakeServer());
  const kept_at = "2026-11-25T09:00:00.000Z";
  await store.thumbs.put({ id: "p1", size: "thumb", blob: new Blob(["a small one"]), kept_at });
  tellStatus({ sending: true });

  const url = await new Promise((shown) => startPhoto("p1", "thumb")(shown));

  expect(url).toMatch(/^blob:/);
});
