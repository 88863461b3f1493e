/** How long it takes to learn of one change, in jobs of several sizes: read by turns, one change each. */
import { Device, mustBe, type Owner, timed } from "./device.ts";
import type { Site, Stand } from "./site.ts";
import { type Observation, observe } from "./workload.ts";

type Job = { site: Site; writer: Owner; reader: Owner };
type Asked = Stand & { jobs: Job[]; rounds: number; change: Observation };
type Pair = { site: Site; ben: Device; other: Device };

/** For each job its rows, the time of the first pull of all of them, and the times after one change. */
export async function growth({ jobs, rounds, change, ...stand }: Asked): Promise<object> {
  const pairs: (Pair & { rows: number; whole_ms: number; one_ms: number[] })[] = [];
  for (const { site, writer, reader } of jobs) {
    const ben = await new Device(writer, stand).enter();
    const other = await new Device(reader, stand).enter();
    const whole_ms = await timed(() => other.pull());
    // The comparison of sums, which reads every row, comes once now and then after six hours.
    await other.pull();
    const rows = await other.line.store.rows.where("job_id").equals(site.job_id).count();
    pairs.push({ site, ben, other, rows, whole_ms, one_ms: [] });
  }
  for (let round = 0; round <= rounds; round += 1) {
    for (const pair of pairs) {
      const one_ms = await afterOneChange(pair, change);
      // The first of each is warming up.
      pair.one_ms.push(...(round > 0 ? [one_ms] : []));
    }
  }
  return pairs.map(({ rows, whole_ms, one_ms }) => ({ rows, whole_ms, one_ms }));
}

async function afterOneChange({ site, ben, other }: Pair, change: Observation): Promise<number> {
  await observe(ben, { site, said: [change] });
  await ben.push();
  const before = await other.line.store.rows.count();
  const one_ms = await timed(() => other.pull());
  // An issue, and the first line of its history.
  mustBe(before + 2, await other.line.store.rows.count());
  return one_ms;
}
