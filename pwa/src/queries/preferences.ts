import type { ReadonlySignal } from "@preact/signals";
import { type Preferences, readPreferences } from "../local/preferences";
import { useLive } from "./live";

/** Units and instruments of whoever uses this phone; undefined while they are read. */
export function usePreferences(): ReadonlySignal<Preferences | undefined> {
  return useLive("preferences", readPreferences);
}
