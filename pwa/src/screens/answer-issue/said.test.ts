import { expect, test } from "vitest";
import "../../text/contractor";
import type { SyncState } from "../../queries/sync";
import { saidOf } from "./said";

const OF_A_LINK: SyncState = {
  online: true,
  signed_in: true,
  is_over: false,
  is_ended: false,
  is_link: true,
  waiting: 0,
  photos_waiting: 0,
  photo_progress: null,
  attention: 0,
  not_taken: 0,
  last_sent_at: "2026-11-25T09:00:00.000Z",
  sending: false,
  stuck: null,
  update_needed: false,
};
const said = (state: Partial<SyncState>) => {
  const { kind, title, hint } = saidOf({ ...OF_A_LINK, ...state });
  return [kind, title, hint];
};

test("a saved answer says what becomes of it by itself, and what needs its holder", () => {
  expect(said({})).toEqual(["good", "Sent", "The technician and the office see your answer."]);
  expect(said({ waiting: 1, online: false })).toEqual([
    "good",
    "Saved on this phone",
    "It is sent with the next connection. You may close this page.",
  ]);
  expect(said({ not_taken: 1 })[0]).toBe("doubt");
});

test("an answer that no connection will send is not promised one", () => {
  expect(said({ waiting: 1, signed_in: false, is_over: true })).toEqual([
    "doubt",
    "Saved on this phone",
    "The link has ended. Open a new one to send it.",
  ]);
  // Its day has passed while there was no signal.
  expect(said({ waiting: 1, online: false, is_over: true })[0]).toBe("doubt");
  expect(said({ photos_waiting: 1, signed_in: false })).toEqual([
    "doubt",
    "Saved on this phone",
    "Open the link you were sent again to send it.",
  ]);
});
