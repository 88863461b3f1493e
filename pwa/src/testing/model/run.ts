/**
 * Runs seeds one after the other. Prints a line of JSON when it begins one, so that a seed at which it
 * dies or hangs is known, and one that says what became of it.
 *
 * run.mjs --app APP.js --server PORT --desk PORT --steps N [--copies] [--often KIND,KIND] [--trace] --seeds SEED...
 */

import process from "node:process";
import type { Device } from "./device.ts";
import { letDisksBeFull } from "./disk.ts";
import { comeTogether, heal, lateIn } from "./healing.ts";
import { appFrom } from "./load.ts";
import { deskOn, serverOn } from "./server.ts";
import { takeStep } from "./steps.ts";
import type { App } from "./tab.ts";
import { takeOverTasks, whoseTurn } from "./turns.ts";
import { judge } from "./verdict.ts";
import { type Surroundings, World } from "./world.ts";

type Chosen = { steps: number; seeds: number[]; isTraced: boolean; around: Surroundings };

function chosenFrom(given: string[]): Chosen {
  const after = (name: string) => given[given.indexOf(name) + 1] ?? "";
  const seeds = given.slice(given.indexOf("--seeds") + 1).map(Number);
  const around = {
    ask: serverOn(Number(after("--server"))),
    desk: deskOn(Number(after("--desk"))),
    makeApp: appFrom<App>(after("--app")),
    hasCopies: given.includes("--copies"),
    often: given.includes("--often") ? after("--often").split(",") : [],
  };
  return { steps: Number(after("--steps")), seeds, isTraced: given.includes("--trace"), around };
}

async function runSeed(seed: number, { steps, isTraced, around }: Chosen): Promise<object> {
  const world = new World(seed, await around.desk("/company", {}), around);
  const problems: string[] = [];
  const surprise = (problem: unknown) => problems.push(`nobody caught: ${textOf(problem)}`);
  process.on("unhandledRejection", surprise);
  try {
    await world.setUp();
    for (let n = 1; n <= steps; n += 1) {
      await takeStep(world, n);
    }
    const emptied = await heal(world);
    problems.push(...lateIn(emptied));
    await comeTogether(world);
    problems.push(...(await judge(world)));
    return {
      seed,
      problems,
      ...emptied,
      ...told(world),
      ...(isTraced ? { trace: world.trace.lines } : {}),
    };
  } catch (problem) {
    return { seed, problems: [...problems, textOf(problem)], ...told(world) };
  } finally {
    process.off("unhandledRejection", surprise);
  }
}

function textOf(problem: unknown): string {
  return problem instanceof Error ? (problem.stack ?? problem.message) : String(problem);
}

function told(world: World): object {
  const { devices, journal, network, trace, clock } = world;
  const sum = (count: (device: Device) => number) =>
    devices.reduce((all, one) => all + count(one), 0);
  return {
    sum: trace.sum(),
    requests: network.requests,
    saved: journal.saved,
    refused: journal.refused,
    written: journal.written.size,
    kills: sum((one) => one.kills),
    undone: sum((one) => one.disk.undone),
    virtual_s: Math.round(clock.now_ms / 1_000),
  };
}

function print(line: object): Promise<void> {
  return new Promise((resolve) =>
    process.stdout.write(`${JSON.stringify(line)}\n`, () => resolve()),
  );
}

takeOverTasks();
letDisksBeFull(() => (whoseTurn() as Device | null)?.disk);
const chosen = chosenFrom(process.argv.slice(2));
for (const seed of chosen.seeds) {
  await print({ begins: seed });
  await print(await runSeed(seed, chosen));
}
process.exit(0);
