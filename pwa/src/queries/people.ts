/** The people of the company, as the server last told; kept so that a visit can be planned offline. */
import type { ReadonlySignal } from "@preact/signals";
import type { Role } from "../local/rows";
import { useLive } from "./live";

export type Person = { id: string; name: string; role: Role };

export function usePeople(): ReadonlySignal<Person[] | undefined> {
  return useLive("people", async (store) => {
    const people = (await store.meta.get("people"))?.value as Person[] | undefined;
    return people?.toSorted((a, b) => a.name.localeCompare(b.name)) ?? [];
  });
}
