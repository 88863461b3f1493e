/** A line that fails for some seconds while people go on working; nobody tells the app that it is back. */
import { Device, mustBe, type Owner } from "./device.ts";
import type { Site, Stand } from "./site.ts";
import { type Observation, observe } from "./workload.ts";

type Asked = Stand & {
  site: Site;
  writer: Owner;
  said: Observation[];
  cut_ms: number;
  rounds: number;
};

/** [ms] from the end of each cut until nothing waits. */
export async function recover(asked: Asked): Promise<number[]> {
  const ben = await new Device(asked.writer, asked).enter();
  ben.app.startSync();
  const times: number[] = [];
  for (let round = 0; round < asked.rounds; round += 1) {
    await emptied(ben);
    times.push(await oneCut(ben, asked));
  }
  return times;
}

async function oneCut(ben: Device, { site, said, cut_ms }: Asked): Promise<number> {
  ben.wire.cut();
  const began = performance.now();
  await observe(ben, { site, said });
  await pause(cut_ms - (performance.now() - began));
  mustBe(said.length, await ben.line.store.outbox.count());
  ben.wire.heal();
  const healed = performance.now();
  await emptied(ben);
  return performance.now() - healed;
}

const LONGEST_MS = 60_000;

async function emptied({ line }: Device): Promise<void> {
  const until = performance.now() + LONGEST_MS;
  while ((await line.store.outbox.count()) > 0) {
    mustBe(true, performance.now() < until);
    await pause(5);
  }
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
