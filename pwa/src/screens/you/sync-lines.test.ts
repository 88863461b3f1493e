import { expect, test } from "vitest";
import "../../text/account";
import type { SyncState } from "../../queries/sync";
import { goingWords, linesOf } from "./sync-lines";

const QUIET: SyncState = {
  online: true,
  signed_in: true,
  is_link: false,
  is_over: false,
  waiting: 0,
  photos_waiting: 0,
  photo_progress: null,
  attention: 0,
  not_taken: 0,
  last_sent_at: null,
  sending: false,
  stuck: null,
  update_needed: false,
  is_ended: false,
};
const NEVER = "Nothing was sent from this device yet.";
const SILENT = "The office does not answer. It is tried again by itself.";
const said = (state: Partial<SyncState>) => linesOf({ ...QUIET, ...state });

test("what waits while the office is silent does not wait for signal, and is told to be tried again", () => {
  const waits = { waiting: 1, photos_waiting: 4 };
  const photo_progress = { number: 2, total: 4, share: 0.4 };

  expect(said({ ...waits, stuck: "silent" })).toEqual([
    "1 change · 4 photos wait to be sent",
    SILENT,
    NEVER,
  ]);
  expect(said({ ...waits, sending: true })[1]).toBe("Sending 5 things");
  expect(said({ ...waits, sending: true, photo_progress })[1]).toBe("Photo 2 of 4, 40 %");
  expect(said({ photos_waiting: 4, stuck: "silent" })[0]).toBe("4 photos wait to be sent");
});

test("with no signal it waits for signal", () => {
  const lines = said({ photos_waiting: 4, online: false, stuck: "silent" });

  expect(lines).toEqual([
    "4 photos wait for signal",
    "No connection now. Your work is saved on this device.",
    NEVER,
  ]);
});

test("whoever never had anything to send is not told that everything is sent", () => {
  const last_sent_at = "2026-11-25T09:00:00.000Z";

  expect(said({})).toEqual(["Nothing waits to be sent.", NEVER]);
  expect(said({ last_sent_at })[0]).toBe("Everything is sent.");
  expect(said({ not_taken: 1, last_sent_at })[0]).toBe("The office has not taken over 1 thing.");
});

test("with nothing to send it is still told that the office does not answer, and not that it is sent", () => {
  expect(goingWords({ ...QUIET, stuck: "silent" })).toBe(SILENT);
  expect(goingWords({ ...QUIET, stuck: "busy" })).toBeNull();
  expect(goingWords({ ...QUIET, sending: true, stuck: "silent" })).toBeNull();
});

test("whoever is signed out is told so, and nothing of the office", () => {
  const lines = said({ waiting: 1, signed_in: false, stuck: "silent" });

  expect(lines).toEqual([
    "1 change waits to be sent",
    "Sign in again to send. Your work stays on this device until then.",
    NEVER,
  ]);
});
