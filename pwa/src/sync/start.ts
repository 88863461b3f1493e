/**
 * Wires the drainer to this tab: who is signed in, and every reason to try. Background Sync is a
 * bonus (the browser tries three times, minutes apart); the reasons below do the work.
 */
import { effect, untracked } from "@preact/signals";
import { liveQuery } from "dexie";
import { Cleared } from "../local/device";
import { keepBallast } from "../local/disk";
import type { Session } from "../local/home";
import { session, watchSession } from "../local/session";
import { type Store, storeOf, tellTaken } from "../local/store";
import { countOthers, keepTally } from "../local/tally";
import { BACKGROUND_TAG } from "./background";
import { Drainer, type RoundEnded, underLock } from "./drainer";
import type { Line } from "./line";
import { lockName } from "./lock";
import { exchange } from "./round";
import { tellStatus } from "./status";

let drainer: Drainer | null = null;

/** The button, and a line that is there again: what still waits for the old one is cut off. */
export function beginAnew(): void {
  drainer?.beginAnew();
}

/** For what is about to take the lock of this tab's line. */
export function makeWay(): void {
  drainer?.makeWay();
}

export function lineFor(who: Session, parts: Partial<Line["wire"]> = {}): Line {
  return {
    principal_id: who.principal_id,
    store: storeOf(who.principal_id),
    wire: { as: who.as, fetch: fetch.bind(globalThis), ...parts },
  };
}

export function startSync(): void {
  watchSession(() => location.pathname);
  effect(() => {
    const who = session.value;
    return who ? untracked(() => drainFor(who)) : undefined;
  });
  countOthers(session.value).catch(reportError);
  addEventListener("online", () => {
    tellStatus({ online: true });
    beginAnew();
  });
  addEventListener("offline", () => tellStatus({ online: false }));
  // What became of the signal since this file was loaded, nobody was told.
  tellStatus({ online: navigator.onLine });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") {
      // A page that the system had stopped was not told what became of the signal.
      tellStatus({ online: navigator.onLine });
      drainer?.kick();
    }
  });
  // A page that stands still would keep the lock from every other tab.
  document.addEventListener("freeze", () => drainer?.cutOff());
}

function drainFor(who: Session): () => void {
  const { store } = lineFor(who);
  // A round that was cut off may end when somebody else has come.
  const tell: typeof tellStatus = (change) => {
    if (drainer === mine) tellStatus(change);
  };
  const mine: Drainer = new Drainer({
    round: (signal, alive) => lockedRound(who, { signal, alive, tell }).catch(beginAnewIfCleared),
    isVisible: () => document.visibilityState === "visible",
    tell,
  });
  drainer = mine;
  tellStatus({
    signed_in: true,
    is_over: false,
    sending: false,
    stuck: null,
    photo_progress: null,
  });
  const writes = whenWritten(store, () => {
    void askForBackgroundSync();
    mine.kick();
  });
  const counting = keepTally(store, { who });
  mine.kick();
  keepBallast(store).catch(reportError);
  if (who.as === "link") {
    gatherFor(who, () => mine.makeWay()).then(() => mine.kick(), reportError);
  }
  return () => {
    writes();
    counting();
    mine.stop();
  };
}

/** Loaded only for a link: what waits here under earlier ones. */
async function gatherFor(who: Session, makeWay: () => void): Promise<void> {
  const { gatherWork } = await import("./gather");
  await gatherWork(who, { locks: navigator.locks, makeWay });
}

/**
 * Any tab of this person, and this one, has put something new into the outbox. What waits at the first
 * look counts as new: it may have been written while the first round was under way already.
 */
function whenWritten(store: Store, tell: () => void): () => void {
  let known = new Set<string>();
  const writes = liveQuery(() => store.outbox.toCollection().primaryKeys()).subscribe({
    next: (waiting) => {
      const isNew = waiting.some((id) => !known.has(id));
      known = new Set(waiting);
      if (isNew) {
        tell();
      }
    },
    error: reportError,
  });
  return () => writes.unsubscribe();
}

async function lockedRound(
  who: Session,
  { tell, ...wire }: { signal: AbortSignal; alive: () => void; tell: typeof tellStatus },
): Promise<RoundEnded> {
  const turnedAway = (code: string) => tell({ is_over: code === "link_ended" });
  const line = lineFor(who, { ...wire, turnedAway });
  return await underLock(navigator.locks, {
    name: lockName(who),
    signal: wire.signal,
    work: () => exchange(line, { tell: (photo_progress) => tell({ photo_progress }) }),
  });
}

function beginAnewIfCleared(problem: unknown): never {
  if (problem instanceof Cleared) {
    tellTaken();
  }
  throw problem;
}

type WithSync = ServiceWorkerRegistration & {
  sync?: { register: (tag: string) => Promise<void> };
};

async function askForBackgroundSync(): Promise<void> {
  try {
    const registration: WithSync | undefined = await navigator.serviceWorker?.getRegistration();
    await registration?.sync?.register(BACKGROUND_TAG);
  } catch {
    // Not allowed in this browser, or in a private window: the other triggers do without it.
  }
}
