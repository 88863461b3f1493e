/**
 * What a person prefers on this phone. It lies in the person's own store, so that two people who
 * share a phone keep their own; it never leaves the phone.
 */
import type { Instrument } from "./rows";
import type { Store } from "./store";

/** Which units a person is used to: inch-pound or international. */
export type UnitSystem = "ip" | "si";

export type KeptInstrument = Instrument & { id: string };
export type Preferences = {
  units: UnitSystem;
  instruments: KeptInstrument[];
  /** Which of them were in use at the last reading of a kind: their ids. */
  in_use: Record<string, string[]>;
};

const NAME = "preferences";

/** Inch and pound where the phone speaks American English, until the person says otherwise. */
function usualSystem(): UnitSystem {
  return typeof navigator !== "undefined" && navigator.language === "en-US" ? "ip" : "si";
}

export async function readPreferences(store: Store): Promise<Preferences> {
  const kept = (await store.meta.get(NAME))?.value as Partial<Preferences> | undefined;
  return { units: usualSystem(), instruments: [], in_use: {}, ...kept };
}

export async function changePreferences(
  store: Store,
  change: (now: Preferences) => Partial<Preferences>,
): Promise<void> {
  await store.transaction("rw", store.meta, async () => {
    const now = await readPreferences(store);
    await store.meta.put({ name: NAME, value: { ...now, ...change(now) } });
  });
}
