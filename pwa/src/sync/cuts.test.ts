import { expect, test } from "vitest";
import { readMerged } from "../queries/rows";
import { anIssue, benWithAPhone, idOf } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { pull } from "./pull";
import { push } from "./push";

const SEEDS = 60;
const STEPS = 40;

/** Mulberry32: small, and the same on every machine, so that a red seed can be run again. */
function randomOf(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A third of all requests are cut before the server or after it. */
function cutAtRandom(server: FakeServer, random: () => number): void {
  server.before = () => (random() < 0.15 ? "cut" : undefined);
  server.after = () => (random() < 0.2 ? "cut" : undefined);
}

function heal(server: FakeServer): void {
  server.before = () => undefined;
  server.after = () => undefined;
}

test.each(Array.from({ length: SEEDS }, (_, seed) => seed))(
  "seed %i: whatever is cut, each issue arrives once and shows all the while",
  async (seed) => {
    const random = randomOf(seed);
    const server = new FakeServer();
    const { store, line } = await benWithAPhone(server);
    const raised: string[] = [];
    cutAtRandom(server, random);

    for (let step = 0; step < STEPS; step += 1) {
      const chance = random();
      if (chance < 0.4) {
        raised.push(idOf(await anIssue({ jobId: "job-1", words: `${step}` })));
      } else if (chance < 0.7) {
        await push(line);
      } else {
        await pull(line);
      }
      const shown = (await readMerged(store, "job-1")).issue.map((issue) => issue.id);
      expect(shown.toSorted(), `after step ${step}`).toEqual(raised.toSorted());
    }
    heal(server);
    await push(line);
    await pull(line);

    expect(server.rows.map((row) => row.id).toSorted()).toEqual(raised.toSorted());
    expect(server.heads.get("job-1") ?? 0).toBe(raised.length);
    expect(await store.outbox.count()).toBe(0);
    expect(await store.overlay.count()).toBe(0);
  },
);
