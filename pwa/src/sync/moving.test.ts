/** What one link of a phone has is moved into the next one's store, whose numbers are its own. */
import { expect, test } from "vitest";
import type { OutboxRecord } from "../local/records";
import type { Store } from "../local/store";
import { aLinkOpened, anIssue } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import { offerAll } from "./lanes";
import { moveWork } from "./moving";
import { exchangeWords } from "./round";

const JOB = "job-1";

async function inLane({ outbox }: Store): Promise<OutboxRecord[]> {
  return (await outbox.toArray()).toSorted((a, b) => a.seq - b.seq);
}

test("what is moved keeps its order, and what was sent by one link comes before all that waits under the next", async () => {
  const server = new FakeServer();
  server.change(job);
  const first = await aLinkOpened(server, { jobId: JOB, recipient: "Kim" });
  for (const words of ["sent", "and sent"]) {
    await anIssue({ jobId: JOB, words });
  }
  await exchangeWords(first.line);
  await anIssue({ jobId: JOB, words: "one" });
  await anIssue({ jobId: JOB, words: "two" });
  // Numbers may tell another order than that of writing.
  await first.store.outbox.toCollection().modify((waiting) => {
    waiting.seq = 7 - waiting.seq;
  });
  const next = await aLinkOpened(server, { jobId: JOB, recipient: "Kim" });

  await moveWork(first.store, { to: next.store });
  await offerAll(next.store, { job_id: JOB, device_id: "another", last_seq: 0 });

  const words = (await inLane(next.store)).map(({ fields }) => fields["words"]);
  expect(words).toEqual(["sent", "and sent", "one", "two"]);
});
