/**
 * A server that came back from a backup tells of the jobs in sight that all is to be read anew, and of the others
 * nothing. What it may have lost of these goes back to it as well: it keeps that for its author.
 */
import type { Store } from "../local/store";
import { isEnded } from "./ended";
import { offerToBeSure } from "./lanes";
import type { PulledJob } from "./shapes";
import type { Asked } from "./take";

/** Of the server's database that was read last: this store's own note. */
const EPOCH = "epoch";

type Told = { answer: { epoch?: string | null | undefined; jobs: PulledJob[] }; asked: Asked };

/** Before anything else of the answer is taken: names are still here for the cards that may come of it. */
export async function offerOutOfSight(store: Store, { answer, asked }: Told): Promise<void> {
  const { epoch, jobs } = answer;
  const before = (await store.meta.get(EPOCH))?.value;
  if (!epoch || epoch === before) {
    return;
  }
  if (before !== undefined && !(await isEnded(store))) {
    const seen = new Set(jobs.filter((job) => job.state !== "gone").map((job) => job.job_id));
    const sent = (await store.receipts.orderBy("job_id").uniqueKeys()).map(String);
    for (const job_id of sent.filter((id) => !seen.has(id))) {
      await offerToBeSure(store, { job_id, device_id: asked.device_id });
    }
  }
  await store.meta.put({ name: EPOCH, value: epoch });
}
