/**
 * A new link to a job was opened on a phone that has held others to it. What waits in their stores goes by the
 * new link: by itself where both were made out to the same person, else only when its holder says so. The
 * rows, photos and small pictures of the others leave the phone. Needs no signal.
 */
import { adoptDevice } from "../local/device";
import { isDiskFull, withRoom } from "../local/disk";
import { home, type SavedSession, type Session } from "../local/home";
import { hasWork, isSameRecipient, otherLinks } from "../local/other_links";
import { type Store, storeOf } from "../local/store";
import { countAnew, forgetTally } from "../local/tally";
import { uuid7 } from "../local/uuid7";
import type { Locks } from "./drainer";
import { gatheringLockName, lockName } from "./lock";
import { letGoOfRows, moveWork } from "./moving";
import { pruneReceipts } from "./receipts";

/** `makeWay` cuts off this tab's own round, which might take long: it would see photos without their words. */
type Gathering = { locks: Locks; makeWay?: () => void };

/** At the opening of a link and at each start with it, so that what was cut off is finished. */
export async function gatherWork(who: Session, gathering: Gathering): Promise<void> {
  await alone(who, gathering.locks, async () => {
    const broken: unknown[] = [];
    for (const other of await otherLinks(who)) {
      const to = isSameRecipient(who, other) ? who : null;
      try {
        await clearOut(other, { ...gathering, to });
      } catch (problem) {
        // It stays where it was until the next start, or until its holder says so; the other links go on.
        await home.sessions.update(other.principal_id, { is_stuck: true });
        if (!isDiskFull(problem)) broken.push(problem);
      }
    }
    for (const problem of broken) throw problem;
  });
}

/** The holder of this link sends on, in their own name, what somebody else left on this phone. */
export async function takeOverFrom(
  link_id: string,
  { who, ...gathering }: Gathering & { who: Session },
): Promise<void> {
  await alone(who, gathering.locks, async () => {
    const left = (await otherLinks(who)).find((one) => one.principal_id === link_id);
    if (left) {
      await clearOut(left, { ...gathering, to: who });
    }
  });
}

/**
 * Of all tabs one at a time for a job: two links into each other at once would each take for moved what the other
 * deletes. Into a link that another has taken in meanwhile nothing goes.
 */
async function alone(who: Session, locks: Locks, work: () => Promise<void>): Promise<void> {
  await locks.request(gatheringLockName(who), async () => {
    if (await home.sessions.get(who.principal_id)) await work();
  });
}

type Clearing = Gathering & { to: Session | null };

/** Under the locks of both links: a round that is under way in one, in another tab, ends first. */
async function clearOut(
  other: SavedSession,
  { locks, makeWay = () => undefined, to }: Clearing,
): Promise<void> {
  await locks.request(lockName(other), async () => {
    const store = storeOf(other.principal_id);
    if (to) {
      const target = storeOf(to.principal_id);
      makeWay();
      await locks.request(lockName(to), () =>
        withRoom(target, () => moveWork(store, { to: target })),
      );
    } else {
      await letGoOfRows(store);
      await pruneReceipts(store);
    }
    await home.sessions.update(other.principal_id, { is_stuck: false });
    if (await isCleared(store)) {
      await home.sessions.delete(other.principal_id);
      forgetTally(other.principal_id);
      // Saved in another tab that had it open still.
      if (await hasWork(store)) {
        await adoptDevice(store, uuid7());
        await home.sessions.put({ ...other, is_stuck: false });
      }
    } else {
      await countAnew(store, other);
    }
  });
}

async function isCleared(store: Store): Promise<boolean> {
  return await store.transaction("rw", store.tables, async () => {
    if ((await hasWork(store)) || (await store.receipts.count()) > 0) {
      return false;
    }
    await Promise.all(store.tables.map((table) => table.clear()));
    return true;
  });
}
