/**
 * Sending from the service worker when no tab is open. The same rounds under the same lock as in a
 * tab; each person and link of this phone by itself.
 */
import { home, type Session } from "../local/home";
import { storeOf } from "../local/store";
import { type RoundEnded, underLock } from "./drainer";
import type { Line, Outcome } from "./line";
import { lockName } from "./lock";
import { exchangeWords } from "./round";

export const BACKGROUND_TAG = "flarenut-send";

const LEFT = new Set<RoundEnded>(["later", "partly", "phone_full"]);

/** Rejects when something is left of anybody, so that the browser tries again later. */
export async function sendInBackground(): Promise<void> {
  const ends: RoundEnded[] = [];
  for (const who of await whoHasACookie()) {
    ends.push(await sendOf(who));
  }
  if (ends.some((ended) => LEFT.has(ended))) {
    throw new Error("not everything could be sent");
  }
}

/** What is wrong with the store of one person does not keep the others' work here. */
async function sendOf(who: Session): Promise<RoundEnded> {
  try {
    return await underLock(navigator.locks, {
      name: lockName(who),
      work: () => exchange(lineOf(who)),
    });
  } catch (problem) {
    reportError(problem);
    return "later";
  }
}

/** A browser holds one cookie for links, of the one opened last: under it no other may send. */
async function whoHasACookie(): Promise<Session[]> {
  const known = await home.sessions.toArray();
  const links = known.filter((one) => one.as === "link");
  links.sort((a, b) => b.used_at.localeCompare(a.used_at));
  return [...known.filter((one) => one.as === "device"), ...links.slice(0, 1)];
}

function lineOf(who: Session): Line {
  return {
    principal_id: who.principal_id,
    store: storeOf(who.principal_id),
    wire: { as: who.as, fetch: fetch.bind(globalThis) },
  };
}

/** Words only: uploads need what a worker of this kind does not have. They go when the app opens. */
async function exchange(line: Line): Promise<Outcome> {
  if ((await line.store.outbox.count()) === 0) {
    return "done";
  }
  return await exchangeWords(line);
}
