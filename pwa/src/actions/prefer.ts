import { currentStore } from "../local/current";
import { whileWriting } from "../local/open_writes";
import {
  changePreferences,
  type KeptInstrument,
  type Preferences,
  type UnitSystem,
} from "../local/preferences";
import type { Instrument } from "../local/rows";
import { uuid7 } from "../local/uuid7";

/**
 * Preferences of the person, kept on this phone and never sent: works with no signal, and the
 * server cannot refuse it. An instrument goes along with each reading that it took.
 */
async function change(part: (now: Preferences) => Partial<Preferences>): Promise<void> {
  await whileWriting(async () => {
    if (currentStore.value) await changePreferences(currentStore.value, part);
  });
}

export async function preferUnits(units: UnitSystem): Promise<void> {
  await change(() => ({ units }));
}

/** A new instrument, or the same one as it is now; gives its id. */
export async function keepInstrument(
  instrument: Instrument,
  { id = uuid7() }: { id?: string | undefined } = {},
): Promise<string> {
  const kept: KeptInstrument = { ...instrument, id };
  await change((now) => ({
    instruments: now.instruments.some((one) => one.id === id)
      ? now.instruments.map((one) => (one.id === id ? kept : one))
      : [...now.instruments, kept],
  }));
  return id;
}

/** It stands in the readings that it took; only the list forgets it. */
export async function forgetInstrument(id: string): Promise<void> {
  await change((now) => ({ instruments: now.instruments.filter((one) => one.id !== id) }));
}

/** What was in the hand at this kind of reading: offered first the next time. */
export async function rememberInUse(kind: string, { ids }: { ids: string[] }): Promise<void> {
  await change((now) => ({ in_use: { ...now.in_use, [kind]: ids } }));
}
