/**
 * A store that was cleared: by the system of a full phone, by somebody who cleared the browser's
 * data, or by the browser after it found the files damaged. It is noticed at the next start, kept
 * until the person has read it, and what had been sent is fetched again like on a new phone.
 */
import { type ReadonlySignal, signal } from "@preact/signals";
import { adoptDevice, hasDevice } from "./device";
import { unlessFull } from "./disk";
import { home, readSetting, writeSetting } from "./home";
import { session } from "./session";
import { storeOf } from "./store";
import { forgetUntold, isSomething, keepUntold, readTallies, type Tally, whole } from "./tally";
import { uuid7 } from "./uuid7";

const NAME = "lost";
const SIGNED_OUT = "signed_out_at";
/** Of each whose store is gone; `is_unknown`: of one of them nobody can say whether something had not been sent. */
export type Lost = { at: string; tallies: Tally[]; is_unknown: boolean };

const current = signal<Lost | null>(null);
/** What a person has not yet been told of; null when nothing was cleared. */
export const lost: ReadonlySignal<Lost | null> = current;

/** Before anything is written at a start. `blank`: nobody is known, and nobody has signed out. */
export async function noticeLoss(): Promise<"blank" | "known"> {
  const who = session.value;
  const counts = [home.settings.count(), home.sessions.count()];
  const isBlank = (await Promise.all(counts)).every((count) => count === 0);
  if (who) {
    const store = storeOf(who.principal_id);
    if (!(await hasDevice(store))) {
      await noteLoss(who.principal_id);
    }
    await adoptDevice(store, uuid7());
  } else if (isBlank && readTallies()?.length) {
    await noteLoss();
  }
  current.value = await readLost();
  // Noted at a start with no signal: then the cookie could not be asked for its person.
  const isWaiting = !who && current.value && !(await readSetting(SIGNED_OUT));
  return isBlank || isWaiting ? "blank" : "known";
}

/** An older app told of one person alone. */
async function readLost(): Promise<Lost | null> {
  const found = await readSetting<Lost | { at: string; tally?: Tally }>(NAME);
  if (!found || "tallies" in found) return found ?? null;
  const { at, tally } = found;
  return { at, tallies: tally ? [tally] : [], is_unknown: !tally };
}

/** Somebody signs in, or opens a link: the phone may know of work of theirs, whose store has gone meanwhile. */
export async function takeIn(principal_id: string, device_id: string): Promise<void> {
  const noted = readTallies()?.find((one) => one.principal_id === principal_id);
  const store = storeOf(principal_id);
  if (noted && isSomething(whole(noted)) && !(await hasDevice(store))) {
    await noteLoss(principal_id);
  }
  await adoptDevice(store, device_id);
}

/** A phone that was left on purpose must not come back by its cookie, which may stand for a while. */
export async function noteSignOut(): Promise<void> {
  await unlessFull(() => writeSetting(SIGNED_OUT, new Date().toISOString()), {
    otherwise: undefined,
  });
}

/** Of one person or link, or of all who have used this phone. On disk before the figures are put aside. */
export async function noteLoss(principal_id?: string): Promise<void> {
  const before = await readLost();
  const gone = (readTallies() ?? [])
    .filter((one) => principal_id === undefined || one.principal_id === principal_id)
    .map(whole);
  const isTold = ({ principal_id }: Tally) => gone.some((one) => one.principal_id === principal_id);
  current.value = {
    at: new Date().toISOString(),
    tallies: [...(before?.tallies ?? []).filter((one) => !isTold(one)), ...gone],
    is_unknown: (before?.is_unknown ?? false) || gone.length === 0,
  };
  await writeSetting(NAME, current.value);
  keepUntold(gone);
}

/** The person has read it. */
export async function forgetLoss(): Promise<void> {
  await home.settings.delete(NAME);
  forgetUntold({ isAnybodyHere: session.value !== null });
  current.value = null;
}
