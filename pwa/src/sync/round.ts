/** One round, in the order of what people wait for: words out, changes in, then photos. */

import { keepBallast, unlessFull, withRoom } from "../local/disk";
import { readSetAside, tellSettled } from "./aside";
import { silent } from "./http";
import type { Ended, Line, Outcome } from "./line";
import { keepPeople } from "./people";
import { tellOfForsaken } from "./photo_state";
import { type Progress, readyPhotos, type SendBytes } from "./photos";
import { pull } from "./pull";
import { purgeGone } from "./purge";
import { push } from "./push";
import { pruneReceipts } from "./receipts";
import { keepThumbsOfOpenIssues } from "./renditions";
import { isThere } from "./silence";

type Parts = { tell: Progress; sendBytes?: SendBytes };

/** A server that is another one with each answer has the next turns of a timer. */
const MOST_TURNS = 3;

/** A lane that must wait holds up neither the photos of other jobs nor what others did. */
export async function exchange(line: Line, parts: Parts): Promise<Outcome> {
  if (silent.has(line.wire.as) && !(await isThere(line.wire))) {
    return "later";
  }
  const { outbox } = line.store;
  for (let turn = 1; ; turn += 1) {
    const words = await exchangeWords(line);
    if (words === "later" || words === "signed_out") {
      return words;
    }
    const left = await outbox.count();
    const photos = await exchangePhotos(line, parts);
    // Its last answer may have come of a server that is another one: what that is offered goes out at once.
    const isOver = photos === "later" || photos === "signed_out" || turn === MOST_TURNS;
    if (isOver || (await outbox.count()) <= left) {
      return ended(words, photos);
    }
  }
}

/** What this phone has no room for needs a person, who must be told so first. */
function ended(words: Outcome, photos: Outcome): Outcome {
  return photos === "done" || (photos === "partly" && words === "phone_full") ? words : photos;
}

/**
 * A phone too full for what the server says goes on with its photos all the same: only when they are
 * sent is there room again. What did not fit comes with the next round.
 */
export async function exchangeWords(line: Line): Promise<Outcome> {
  const { store } = line;
  const there = await thereAndBack(line);
  // A server that came back from a backup is offered at once what it lost, and not only when the timer says so.
  const { pushed, pulled } = there.isMore ? await thereAndBack(line) : there;
  if (pulled !== "done") {
    return pulled;
  }
  // Only now is it known that whoever is signed in is still the one whose store this is.
  await tellSettled(line);
  await unlessFull(() => readSetAside(line), { otherwise: undefined });
  // Cut off by what needs the lock: photos may be here whose words are not yet.
  if (line.wire.signal?.aborted) return "later";
  await unlessFull(() => tellOfForsaken(store), { otherwise: undefined });
  await unlessFull(() => purgeGone(store), { otherwise: undefined });
  await pruneReceipts(store);
  await keepBallast(store);
  return pushed;
}

/** `isMore`: what was pulled put something into the outbox, or somebody did meanwhile. */
type ThereAndBack = { pushed: Outcome; pulled: Ended; isMore: boolean };

async function thereAndBack(line: Line): Promise<ThereAndBack> {
  const { store } = line;
  const pushed = await unlessFull<Outcome>(() => withRoom(store, () => push(line)), {
    otherwise: "phone_full",
  });
  if (pushed === "signed_out") {
    return { pushed, pulled: pushed, isMore: false };
  }
  const left = await store.outbox.count();
  // A lane that must wait does not keep the phone from learning what others did.
  const pulled = await pullWithRoom(line);
  const isMore = pulled === "done" && (await store.outbox.count()) > left;
  return { pushed, pulled, isMore };
}

async function pullWithRoom(line: Line): Promise<Ended> {
  return await unlessFull<Ended>(() => withRoom(line.store, () => pull(line)), {
    otherwise: "done",
  });
}

export async function exchangePhotos(line: Line, { tell, sendBytes }: Parts): Promise<Outcome> {
  let sent: Outcome = "done";
  if ((await readyPhotos(line.store)).length > 0) {
    // Loaded only when there is a photo to send: most rounds have none.
    const { sendPhotos } = await import("./sending");
    sent = await sendPhotos(line, { tell, sendBytes });
    if (sent === "later" || sent === "signed_out") {
      return sent;
    }
    // The server says of each photo that it is stored; only then does the full one leave the phone.
    const pulled = await pullWithRoom(line);
    if (pulled !== "done") {
      return pulled;
    }
  }
  await keepPeople(line);
  await keepThumbsOfOpenIssues(line);
  return sent;
}
