/**
 * A server that came back from a backup is another one. It may have lost anything of what it took before, of jobs
 * in sight and of others: all of that is offered to it again. What it knows it answers as before.
 */
import type { Store } from "../local/store";
import { isEnded } from "./ended";
import { offerAll } from "./lanes";
import type { PulledJob } from "./shapes";
import type { Asked } from "./take";

/** Of the server's database that was read last: this store's own note. */
const EPOCH = "epoch";

type Told = { answer: { epoch?: string | null | undefined; jobs: PulledJob[] }; asked: Asked };

/** Before anything else of the answer is taken: names are still here for the cards that may come of it. */
export async function offerToAnotherServer(store: Store, { answer, asked }: Told): Promise<void> {
  const { epoch, jobs } = answer;
  const before = (await store.meta.get(EPOCH))?.value;
  if (!epoch || epoch === before || (await isEnded(store))) {
    return;
  }
  if (before !== undefined) {
    const seen = new Map(jobs.map((job) => [job.job_id, job]));
    for (const job_id of (await store.receipts.orderBy("job_id").uniqueKeys()).map(String)) {
      const job = seen.get(job_id);
      const last_seq = job && job.state !== "gone" ? job.last_seq : undefined;
      await offerAll(store, { job_id, device_id: asked.device_id, last_seq });
    }
  }
  await store.meta.put({ name: EPOCH, value: epoch });
}
