import { expect, test } from "vitest";
import type { ReadingRow, SystemRow, Verdict } from "../local/rows";
import { holdsOf, lastHold, runningHolds } from "./holds";

type Part = { id: string; minutes: number[]; replaces?: string; verdict?: Verdict; ended?: string };

const START = Date.parse("2026-11-25T14:00:00.000Z");
const after = (minutes: number) => new Date(START + minutes * 60_000).toISOString();

/** A reading of a hold with a look at each of these minutes, taken at the last of them. */
function aReading({ id, minutes, replaces, verdict = "unclear", ended }: Part): ReadingRow {
  const first = minutes[0] ?? 0;
  const entered: ReadingRow["entered"] = ended ? { ended: { text: ended, unit: "" } } : {};
  minutes.forEach((minute, at) => {
    entered[`readings[${at}].id`] = { text: `p${minute}`, unit: "" };
    entered[`readings[${at}].at`] = { text: after(minute), unit: "" };
    entered[`readings[${at}].gauge_pa`] = { text: String(3300 - minute), unit: "kPa" };
  });
  return {
    id,
    job_id: "job",
    rev: 1,
    pending: false,
    calculation: "pressure_hold",
    system_id: "s1",
    unit_id: null,
    step_id: "step",
    visit_id: null,
    inputs: {
      readings: minutes.map((minute) => ({
        t_s: (minute - first) * 60,
        gauge_pa: (3300 - minute) * 1000,
      })),
    },
    entered,
    outputs: {},
    server_outputs: null,
    verdict,
    engine_version: "1",
    differs: false,
    instrument: null,
    reason: null,
    taken_at: after(minutes.at(-1) ?? 0),
    by_name: "Ben",
    replaces_id: replaces ?? null,
  };
}

const NOISE = { ...aReading({ id: "noise", minutes: [500] }), system_id: "s2", verdict: "pass" };
const viewOf = (...readings: ReadingRow[]) => ({
  readings: [...readings, NOISE as ReadingRow],
  systems: [{ id: "s1" }, { id: "s2" }] as SystemRow[],
});
const current = (...readings: ReadingRow[]) =>
  lastHold("pressure_hold", { view: viewOf(...readings), systemId: "s1" });
const minutesOf = (hold: ReturnType<typeof current>) =>
  hold?.points.map((point) => (Date.parse(point.at) - START) / 60_000);

test("a hold runs from its first reading on, and each further one speaks for it", () => {
  const first = aReading({ id: "a", minutes: [0] });
  const second = aReading({ id: "b", minutes: [0, 60], replaces: "a" });

  expect(current(first)).toMatchObject({ state: "running", startedAt: after(0) });
  const hold = current(second, first);

  expect(hold).toMatchObject({ state: "running", startedAt: after(0), isMerged: false });
  expect(hold?.tip.id).toBe("b");
  expect(minutesOf(hold)).toEqual([0, 60]);
  expect(hold?.points[1]?.typed).toEqual({ gauge_pa: { text: "3240", unit: "kPa" } });
});

test.each([
  ["pass", "passed"],
  ["fail", "failed"],
  ["unclear", "running"],
] as const)("a hold that is %s has %s", (verdict, state) => {
  const first = aReading({ id: "a", minutes: [0] });
  const last = aReading({ id: "b", minutes: [0, 60], replaces: "a", verdict });

  const view = viewOf(first, last);

  expect(lastHold("pressure_hold", { view, systemId: "s1" })?.state).toBe(state);
  expect(runningHolds(view)).toHaveLength(state === "running" ? 1 : 0);
});

test("a hold that somebody ended runs no longer, whatever its verdict", () => {
  const first = aReading({ id: "a", minutes: [0] });
  const end = aReading({ id: "b", minutes: [0], replaces: "a", ended: "The hose burst." });

  expect(current(first, end)?.state).toBe("ended");
});

test("beginning anew leaves the hold before it in the record, and it runs no longer", () => {
  const before = aReading({ id: "a", minutes: [0, 30] });
  const anew = aReading({ id: "b", minutes: [40] });

  const view = viewOf(before, anew);

  expect(runningHolds(view).map((hold) => hold.tip.id)).toEqual(["b"]);
  const all = holdsOf("pressure_hold", { view, systemId: "s1" });
  expect(all.map((hold) => hold.tip.id)).toEqual(["b", "a"]);
});

test("of two phones' holds the one that the server took last is current, though its clock is hours slow", () => {
  const before = { ...aReading({ id: "a", minutes: [300, 330] }), made_rev: 7 };
  const anew = { ...aReading({ id: "b", minutes: [40] }), made_rev: 8 };
  const others = { ...aReading({ id: "other", minutes: [900] }), system_id: "s2", made_rev: 6 };

  const view = viewOf(anew, before, others);

  expect(lastHold("pressure_hold", { view, systemId: "s1" })?.tip.id).toBe("b");
  expect(runningHolds(view).map((hold) => hold.tip.id)).toEqual(["other", "b"]);
});

test("a hold that waits on this phone is later than those the server told, though this clock is hours slow", () => {
  const before = { ...aReading({ id: "a", minutes: [300] }), made_rev: 7 };
  const anew = { ...aReading({ id: "b", minutes: [40] }), rev: 0, pending: true };
  const goesOn = { ...aReading({ id: "c", minutes: [40, 50], replaces: "b" }), pending: true };

  const hold = current(before, anew, goesOn);

  expect(hold).toMatchObject({ tip: { id: "c" }, isMerged: false });
});

test("a late correction of an old hold does not make it the one that counts", () => {
  const before = aReading({ id: "a", minutes: [0, 30] });
  const anew = aReading({ id: "b", minutes: [40] });
  const corrected = aReading({ id: "c", minutes: [0, 31], replaces: "a" });

  const hold = current(before, anew, { ...corrected, taken_at: after(90) });

  expect(hold?.tip.id).toBe("b");
});

test("two phones that went on with one hold lose none of their readings", () => {
  const first = aReading({ id: "a", minutes: [0] });
  const ours = aReading({ id: "b", minutes: [0, 60], replaces: "a" });
  const theirs = aReading({ id: "c", minutes: [0, 45, 90], replaces: "a", verdict: "pass" });

  const hold = current(first, ours, theirs);

  expect(minutesOf(hold)).toEqual([0, 45, 60, 90]);
  expect(hold).toMatchObject({ isMerged: true, state: "running" });
  const view = viewOf(first, ours, theirs);
  expect(holdsOf("pressure_hold", { view, systemId: "s1" })).toHaveLength(1);
});

test("what was taken out stays out when another phone brings it again", () => {
  const first = aReading({ id: "a", minutes: [0, 10] });
  const without = aReading({ id: "b", minutes: [0, 60], replaces: "a" });
  const other = aReading({ id: "c", minutes: [0, 10, 50], replaces: "a" });

  for (const hold of [current(first, without, other), current(first, other, without)]) {
    expect(minutesOf(hold)).toEqual([0, 50, 60]);
    expect(hold).toMatchObject({ isMerged: true, state: "running" });
  }
});

test("a correction that leaves a failed hold unclear has it running again", () => {
  const first = aReading({ id: "a", minutes: [0] });
  const mistaken = aReading({ id: "b", minutes: [0, 60], replaces: "a", verdict: "fail" });
  const mended = aReading({ id: "c", minutes: [0, 60], replaces: "b" });

  expect(current(first, mistaken)?.state).toBe("failed");
  expect(current(first, mistaken, { ...mended, taken_at: after(61) })?.state).toBe("running");
});

test("a hold whose first reading has not come down yet is one hold all the same", () => {
  const ours = aReading({ id: "b", minutes: [0, 60], replaces: "a" });
  const theirs = aReading({ id: "c", minutes: [0, 90], replaces: "a" });

  expect(minutesOf(current(ours, theirs))).toEqual([0, 60, 90]);
});

test("readings without moments of their own have them from the end of the hold", () => {
  const plain = { ...aReading({ id: "a", minutes: [0, 60] }), entered: {} };

  expect(minutesOf(current(plain))).toEqual([0, 60]);
});
