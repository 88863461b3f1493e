/** One round, in the order of what people wait for: words out, changes in, then photos. */

import { isDiskFull, keepBallast, withRoom } from "../local/disk";
import { readSetAside, tellSettled } from "./aside";
import type { Ended, Line } from "./line";
import { keepPeople } from "./people";
import { type Progress, readyPhotos, type SendBytes } from "./photos";
import { pull } from "./pull";
import { purgeGone } from "./purge";
import { push } from "./push";
import { pruneReceipts } from "./receipts";
import { keepThumbsOfOpenIssues } from "./renditions";

export async function exchangeWords(line: Line): Promise<Ended> {
  const pushed = await withRoom(line.store, () => push(line));
  if (pushed === "signed_out") {
    return pushed;
  }
  await tellSettled(line);
  // A lane that must wait does not keep the phone from learning what others did.
  const pulled = await pullWithRoom(line);
  if (pulled !== "done") {
    return pulled;
  }
  await readSetAside(line);
  await purgeGone(line.store);
  await pruneReceipts(line.store);
  await keepBallast(line.store);
  return pushed;
}

/**
 * A phone too full for what others did goes on with its photos all the same: only when they are sent
 * is there room again. What did not fit comes with the next round.
 */
async function pullWithRoom(line: Line): Promise<Ended> {
  try {
    return await withRoom(line.store, () => pull(line));
  } catch (problem) {
    if (!isDiskFull(problem)) {
      throw problem;
    }
    return "done";
  }
}

export async function exchangePhotos(
  line: Line,
  { tell, sendBytes }: { tell: Progress; sendBytes?: SendBytes },
): Promise<Ended> {
  if ((await readyPhotos(line.store)).length > 0) {
    // Loaded only when there is a photo to send: most rounds have none.
    const { sendPhotos } = await import("./sending");
    const sent = await sendPhotos(line, { tell, sendBytes });
    if (sent !== "done") {
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
  return "done";
}
