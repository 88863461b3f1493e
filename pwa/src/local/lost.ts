/**
 * A store that was cleared: by the system of a full phone, by somebody who cleared the browser's
 * data, or by the browser after it found the files damaged. It is noticed at the next start, kept
 * until the person has read it, and what had been sent is fetched again like on a new phone.
 */
import { type ReadonlySignal, signal } from "@preact/signals";
import { adoptDevice, hasDevice } from "./device";
import { home, readSetting, writeSetting } from "./home";
import { session } from "./session";
import { storeOf } from "./store";
import { forgetUntold, readTally, type Tally, tallyOfLost } from "./tally";
import { uuid7 } from "./uuid7";

const NAME = "lost";
/** Without a tally nobody can say whether something had not been sent. */
export type Lost = { at: string; tally?: Tally };

const current = signal<Lost | null>(null);
/** What a person has not yet been told of; null when nothing was cleared. */
export const lost: ReadonlySignal<Lost | null> = current;

/** Before anything is written at a start. `blank`: nobody is known, and nobody has signed out. */
export async function noticeLoss(): Promise<"blank" | "known"> {
  const who = session.value;
  const isBlank = !who && (await home.settings.count()) === 0;
  const isCleared = who
    ? !(await hasDevice(storeOf(who.principal_id)))
    : isBlank && readTally()?.is_read === false;
  if (isCleared) {
    await noteLoss();
  }
  if (who) {
    await adoptDevice(storeOf(who.principal_id), uuid7());
  }
  current.value = (await readSetting<Lost>(NAME)) ?? null;
  // Noted at a start with no signal: then the cookie could not be asked for its person.
  return isBlank || (!who && current.value) ? "blank" : "known";
}

export async function noteLoss(): Promise<void> {
  const before = await readSetting<Lost>(NAME);
  const tally = tallyOfLost();
  // Of what nobody can say any more, what is counted since says nothing.
  const isUnknown = !tally || (before && !before.tally);
  current.value = { at: new Date().toISOString(), ...(isUnknown ? {} : { tally }) };
  await writeSetting(NAME, current.value);
}

/** The person has read it. */
export async function forgetLoss(): Promise<void> {
  await home.settings.delete(NAME);
  forgetUntold({ is_read: session.value === null });
  current.value = null;
}
