import { expect, test } from "vitest";
import { isAllSaid, type SyncBarState, stateWords, whatWaits } from "./sync-words";

const QUIET: SyncBarState = {
  online: true,
  signed_in: true,
  waiting: 0,
  photos_waiting: 0,
  photo_progress: null,
  attention: 0,
  not_taken: 0,
  last_sent_at: "2026-11-25T09:00:00.000Z",
  sending: false,
};
const said = (state: Partial<SyncBarState>) => {
  const sync = { ...QUIET, ...state };
  return [stateWords(sync), whatWaits(sync)];
};

test("every state of sync has its own plain words", () => {
  const waits = { waiting: 2, photos_waiting: 1 };
  const photo_progress = { number: 2, total: 3, share: 0.408 };

  expect(said({})).toEqual(["Sent.", null]);
  expect(said({ last_sent_at: null })).toEqual(["Nothing waits to be sent.", null]);
  expect(said({ online: false })).toEqual(["No signal. Everything is kept on this phone.", null]);
  expect(said({ ...waits, online: false })).toEqual([
    "Saved on this phone.",
    "2 changes · 1 photo wait for signal",
  ]);
  expect(said({ ...waits, sending: true })[1]).toBe("Sending 3 things");
  expect(said({ ...waits, sending: true, photo_progress })[1]).toBe("Photo 2 of 3, 40 %");
  expect(said({ ...waits, stuck: "silent" })[1]).toBe(
    "The office does not answer. It is tried again by itself.",
  );
  expect(said({ ...waits, stuck: "busy" })[1]).toBe(
    "The office cannot take all of it yet. It is tried again by itself.",
  );
  expect(said({ ...waits, stuck: "phone_full" })[1]).toBe(
    "This phone is too full to note what was sent. Free some space on it, and it goes on by itself.",
  );
  expect(said({ ...waits, signed_in: false })[1]).toBe("2 changes · 1 photo wait to be sent");
});

test("what the office has not taken over is never called sent, here or where it is listed", () => {
  const untaken = "The office has not taken over 1 thing.";

  expect(said({ not_taken: 1 })).toEqual([`${untaken} All else is sent.`, null]);
  expect(said({ not_taken: 1, last_sent_at: null })).toEqual([untaken, null]);
  expect(said({ not_taken: 1, waiting: 1 })[0]).toBe("Saved on this phone.");
});

test("a contractor whose link has ended is not told to sign in", () => {
  const ended = { waiting: 1, signed_in: false, is_link: true, is_over: true };

  expect(said(ended)[1]).toBe("The link has ended. Open a new one to send it.");
});

test("a contractor whose link still works is told to open it again, not to ask for another", () => {
  const rested = { waiting: 1, signed_in: false, is_link: true, is_over: false };

  expect(said(rested)[1]).toBe("Open the link you were sent again to send it.");
});

test("a photo is not all sent before the server has said so", () => {
  const photo_progress = { number: 1, total: 1, share: 1 };

  expect(said({ photos_waiting: 1, sending: true, photo_progress })[1]).toBe("Photo 1 of 1, 99 %");
});

test("what needs a person does not hide that all else is sent", () => {
  const two_values = { attention: 1 };
  const refused = { attention: 1, not_taken: 1 };

  expect([said(two_values)[0], isAllSaid({ ...QUIET, ...two_values })]).toEqual(["Sent.", false]);
  expect([said(refused)[0], isAllSaid({ ...QUIET, ...refused })]).toEqual([
    "All else is sent.",
    false,
  ]);
  expect(said({ ...refused, not_taken: 2, put_off: 1 })[0]).toBe(
    "The office has not taken over 2 things. All else is sent.",
  );
});

test("where nothing was ever sent from here, what needs a person says enough", () => {
  expect(isAllSaid({ ...QUIET, attention: 1, last_sent_at: null })).toBe(true);
});

test("what needs a person hides neither what waits nor that there is no signal", () => {
  expect(isAllSaid({ ...QUIET, attention: 1, waiting: 1 })).toBe(false);
  expect(isAllSaid({ ...QUIET, attention: 1, online: false })).toBe(false);
});

test("whoever is of the company no more is told so, and not that all is sent or to sign in", () => {
  const ended = { is_ended: true, attention: 1, not_taken: 1 };

  expect(said(ended)).toEqual(["Your access has ended.", null]);
  expect(said({ ...ended, online: false })).toEqual(["Your access has ended.", null]);
  expect(isAllSaid({ ...QUIET, ...ended })).toBe(false);
  expect(said({ ...ended, waiting: 1, sending: true })).toEqual([
    "Saved on this phone.",
    "Sending 1 thing",
  ]);
});
