/**
 * One principal's line to the server: its store and its way to ask. Everything in this folder
 * takes a line, so that a tab, the service worker and a test run the same code.
 */
import type { Store } from "../local/store";
import type { Wire } from "./http";

export type Line = {
  /** The person or the link that this store belongs to. */
  principal_id: string;
  store: Store;
  wire: Wire;
};

/** How a part of a round ended; `later`: nobody answered, or not as our server does. */
export type Ended = "done" | "later" | "signed_out";
/**
 * `partly`: the server was heard, and took all but what must wait. `phone_full`: what it said of that has no
 * room on this phone.
 */
export type Outcome = Ended | "partly" | "phone_full";
