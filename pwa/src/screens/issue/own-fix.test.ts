import { expect, test } from "vitest";
import type { IssueEventRow } from "../../local/rows";
import { isFixer } from "./own-fix";

/** Each the later by the server's count, the earlier by its clock: nobody's clock decides. */
function event(kind: IssueEventRow["kind"], made_rev: number, part: Partial<IssueEventRow> = {}) {
  const at = `2026-11-25T${String(23 - made_rev).padStart(2, "0")}:00:00.000Z`;
  return { id: `${kind}${made_rev}`, kind, made_rev, at, by_name: "Ben", ...part } as IssueEventRow;
}

test("another Ben may prove what Ben fixed, and Ben under a new name may not", () => {
  const events = [
    event("raised", 8, { by_person_id: "other-ben" }),
    event("answered", 9, { by_person_id: "ben", by_name: "Ben as he was called" }),
  ];

  expect(isFixer(events, { personId: "other-ben" })).toBe(false);
  expect(isFixer(events, { personId: "ben" })).toBe(true);
});

test("everyone who answered since it was last sent back is a fixer, whoever answered last", () => {
  const events = [
    event("answered", 12, { by_person_id: "other-ben" }),
    event("answered", 11, { by_person_id: "ben" }),
  ];

  expect(isFixer(events, { personId: "ben" })).toBe(true);
});

test("an answer from before it was sent back no longer counts", () => {
  const events = [
    event("answered", 9, { by_person_id: "ben" }),
    event("sent_back", 10, { by_person_id: "ben" }),
    event("answered", 11, { by_person_id: null, by_role: "contractor" }),
  ];

  expect(isFixer(events, { personId: "ben" })).toBe(false);
});
