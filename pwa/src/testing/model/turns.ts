/**
 * Whose turn it is. IndexedDB's stand-in asks for its next task with `setImmediate`; here such a task
 * goes to the device that asked for it, so that one device runs at a time, until it has nothing more
 * to do, and can be stopped after any task as a phone whose battery is taken out.
 */
import { setImmediate as later } from "node:timers";

export type Task = () => void;
export type Worker = { tasks: Task[] };

let current: Worker | null = null;

export function whoseTurn(): Worker | null {
  return current;
}

/** A device that goes on for so long without an end is stuck in a circle. */
const MOST_TASKS = 200_000;

export function takeOverTasks(): void {
  const toWhoAsked = (task: Task) => {
    if (current) {
      current.tasks.push(task);
    } else {
      later(task);
    }
  };
  Object.defineProperty(globalThis, "setImmediate", { value: toWhoAsked, configurable: true });
}

/** Promises that are ready go on; nothing else runs meanwhile. */
async function settlePromises(): Promise<void> {
  await new Promise<void>((resolve) => later(resolve));
}

/** `work`, and all that follows from it on this device, or only so many tasks of it; answers how many. */
export async function giveTurn(
  worker: Worker,
  { work, most = MOST_TASKS }: { work: Task; most?: number },
): Promise<number> {
  if (current) {
    throw new Error("two devices at once");
  }
  current = worker;
  try {
    work();
    await settlePromises();
    for (let done = 0; done < most; done += 1) {
      const task = worker.tasks.shift();
      if (!task) {
        return done;
      }
      task();
      await settlePromises();
    }
    if (most === MOST_TASKS) {
      throw new Error("a device goes round in circles");
    }
    return most;
  } finally {
    current = null;
  }
}
