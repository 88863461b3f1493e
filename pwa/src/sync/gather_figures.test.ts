/** What is noted beside the stores of links, when the work of one goes by the next. */
import { expect, onTestFinished, test, vi } from "vitest";
import { readTallies } from "../local/tally";
import { aLinkOpened } from "../testing/phone";
import { FakeServer } from "../testing/server";
import type { Locks } from "./drainer";
import { gatherWork } from "./gather";

/** Nobody else is at work. */
const locks = { request: async (_name: string, work: () => unknown) => await work() } as Locks;
const toPat = { jobId: "job-1", recipient: "Pat" };

test("figures of what went by the next link are not kept for the old one: a lost store would be told twice", async () => {
  const server = new FakeServer();
  const first = await aLinkOpened(server, toPat);
  let beside = JSON.stringify(
    [first.who, { ...first.who, principal_id: "another" }].map((who) => {
      const { principal_id, name } = who;
      return {
        principal_id,
        name,
        changes: 2,
        photos: 0,
        drafts: 0,
        at: "2026-11-27T08:00:00.000Z",
      };
    }),
  );
  const setItem = (_: string, value: string) => {
    beside = value;
  };
  vi.stubGlobal("localStorage", { getItem: () => beside, setItem });
  onTestFinished(() => void vi.unstubAllGlobals());
  const next = await aLinkOpened(server, toPat);

  await gatherWork(next.who, { locks });

  expect(readTallies()?.map(({ principal_id }) => principal_id)).toEqual(["another"]);
});
