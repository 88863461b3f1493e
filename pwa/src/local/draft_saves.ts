/**
 * A draft is cut at the press of "Save", or of giving it up: what was typed before goes with it, also what is still
 * to be written, and what comes while the phone saves is a new entry. Of this tab alone.
 */
const cleared = new Set<string>();
const presses = new Map<string, number>();
const clearedBefore = new Map<string, number>();
/** Of each draft that is being saved, the end of the last press. */
const open = new Map<string, Promise<void>>();

/** This tab saved it or gave it up: what still stands on its screen is not taken from there. */
export const isClearedHere = (key: string) => cleared.has(key);
export const tellBegun = (key: string) => void cleared.delete(key);

/** Between which presses something was typed. */
export const turnOf = (key: string) => presses.get(key) ?? 0;

/** What is typed from here on is not in what is saved now. A second press waits for the first, and never lies within. */
export async function whilePressed<T>(key: string, work: (turn: number) => Promise<T>): Promise<T> {
  const before = open.get(key);
  const turn = notePress(key);
  let end: () => void = () => undefined;
  const ended = new Promise<void>((resolve) => {
    end = resolve;
  });
  open.set(key, ended);
  try {
    await before;
    return await work(turn);
  } finally {
    if (open.get(key) === ended) {
      open.delete(key);
    }
    end();
  }
}

export function notePress(key: string): number {
  presses.set(key, turnOf(key) + 1);
  return turnOf(key);
}

/** Nothing is written to a draft while it is saved: the save would take it along. */
export async function pressEnds(key: string): Promise<void> {
  await open.get(key);
}

/** It is certain: what was typed before that press is saved or given up, and is not written any more. */
export function tellCleared(key: string, turn: number): void {
  cleared.add(key);
  clearedBefore.set(key, Math.max(turn, clearedBefore.get(key) ?? 0));
}

/** Moves whenever it is saved or given up: what was read before that is no longer so. */
export const lastCleared = (key: string) => clearedBefore.get(key) ?? 0;

export const isOver = (key: string, turn: number) => turn < lastCleared(key);
