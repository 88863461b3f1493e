import { computed, type ReadonlySignal } from "@preact/signals";
import { session } from "./session";
import { type Store, storeOf } from "./store";

/** The store of whoever uses this tab; null when nobody is signed in. */
export const currentStore: ReadonlySignal<Store | null> = computed(() =>
  session.value ? storeOf(session.value.principal_id) : null,
);
