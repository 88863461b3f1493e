import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { home } from "../local/home";
import { anIssue, benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { sendInBackground } from "./background";
import type { Locks } from "./drainer";

const server = new FakeServer();
/** Nobody else is at work on this phone. */
const locks: Locks = {
  request: (_name: string, _options: unknown, work: (lock: object) => unknown) => work({}),
} as unknown as Locks;

beforeEach(async () => {
  await home.sessions.clear();
  server.log = [];
  vi.stubGlobal("navigator", { locks });
  vi.stubGlobal("fetch", server.fetch);
});

afterEach(() => vi.unstubAllGlobals());

async function somebodyWithWork(jobId: string) {
  const phone = await benWithAPhone(server);
  await anIssue({ jobId });
  return phone;
}

test("what the work of a link waits for does not keep that of the person on the same phone", async () => {
  const first = await somebodyWithWork("job-1");
  const second = await somebodyWithWork("job-2");
  await home.sessions.put({ ...first.who, as: "link", used_at: "2026-11-25T09:00:00.000Z" });
  server.busy.add("job-1");

  await expect(sendInBackground()).rejects.toThrow("not everything could be sent");

  expect(await first.store.outbox.count()).toBe(1);
  expect(await second.store.outbox.count()).toBe(0);
});

test("the browser need not come again when everything of everybody is sent", async () => {
  server.busy.clear();
  const phone = await somebodyWithWork("job-3");

  await sendInBackground();

  expect(await phone.store.outbox.count()).toBe(0);
});
