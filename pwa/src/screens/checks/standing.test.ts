import { expect, test } from "vitest";
import "../../text/checks";
import type { ReadingRow, SystemRow } from "../../local/rows";
import { checkPath } from "../check/places";
import { aJobView, aStep, aUnit } from "../parts/job-view.builder";
import { checkLines } from "./standing";

const NOW = Date.parse("2026-11-25T18:00:00.000Z") / 1000;
const system = { id: "s1", tag: "S1", kind: "heat_pump" } as SystemRow;

function aReading(part: Partial<ReadingRow>): ReadingRow {
  const plain = {
    id: "r",
    system_id: "s1",
    unit_id: null,
    replaces_id: null,
    verdict: null,
    entered: {},
    taken_at: "2026-11-25T17:30:00.000Z",
  };
  return { ...plain, ...part } as ReadingRow;
}

function aSite(readings: ReadingRow[] = []) {
  const view = aJobView({
    units: ["J1", "J2"].map((id) => aUnit({ id, kind: "joint" })),
    steps: [aStep({ id: "step-j1", code: "joints", unit_id: "J1" })],
  });
  view.readings = readings;
  view.job = { ...view.job, time_zone: "America/Chicago" };
  return { view, system, drafts: [], now: NOW };
}

const draft = (key: string, value: object) => ({ key, value, saved_at: "" });

test("a check on units leads to the next of them and counts the rest", () => {
  const done = aReading({ calculation: "joint_geometry", unit_id: "J1", verdict: "pass" });

  const [line] = checkLines("pipework", aSite([done])).filter(
    (one) => one.row.calculation === "joint_geometry",
  );

  expect(line).toMatchObject({ done: 1, total: 2, words: "Next: J2" });
  expect(line?.unit?.id).toBe("J2");
});

test("a joint that failed is what the list shows, and comes again when all are measured", () => {
  const failed = aReading({ calculation: "joint_geometry", unit_id: "J1", verdict: "fail" });
  const passed = aReading({ calculation: "joint_geometry", unit_id: "J2", verdict: "pass" });

  const [line] = checkLines("pipework", aSite([failed, passed])).filter(
    (one) => one.row.calculation === "joint_geometry",
  );

  expect(line?.last?.verdict).toBe("fail");
  expect(line?.unit?.id).toBe("J1");
  expect(line?.words).toBe("Fail, today, 11:30");
});

test("a joint that nobody could judge is not passed over for its neighbour that passed", () => {
  const passed = aReading({ calculation: "joint_geometry", unit_id: "J1", verdict: "pass" });
  const unclear = aReading({ calculation: "joint_geometry", unit_id: "J2", verdict: "unclear" });

  const [line] = checkLines("pipework", aSite([passed, unclear])).filter(
    (one) => one.row.calculation === "joint_geometry",
  );

  expect(line?.last?.verdict).toBe("unclear");
  expect(line?.unit?.id).toBe("J2");
});

test("a figure that is not judged is only told with its time", () => {
  const taken = aReading({ calculation: "superheat" });

  const words = checkLines("gauges", aSite([taken])).map((line) => line.words);

  expect(words[0]).toBe("Taken today, 11:30");
  expect(words[1]).toBe("Not yet");
});

test("what is begun is told, and what runs by the clock with how long", () => {
  const typed = { gauge_pa: { text: "118", unit: "psi", shown: "" } };
  const drafts = [
    draft("check:superheat:s1", { typed, own: {} }),
    draft("check:saturation:s1", { typed: {}, own: { started_at: "2026-11-25T15:00:00.000Z" } }),
  ];

  const words = checkLines("gauges", { ...aSite(), drafts }).map((line) => line.words);

  expect(words[0]).toBe("Begun, not saved · Not yet");
  expect(words[2]).toBe("Running for 3\u00a0h · Not yet");
});

test("a correction counts once: what it replaces is gone from the list", () => {
  const first = aReading({ id: "a", calculation: "room_limit", verdict: "fail" });
  const second = aReading({
    id: "b",
    calculation: "room_limit",
    verdict: "pass",
    replaces_id: "a",
    taken_at: "2026-11-25T17:40:00.000Z",
  });

  const lines = checkLines("charge", aSite([first, second]));

  expect(lines.find((line) => line.row.calculation === "room_limit")?.last?.id).toBe("b");
});

test("the address of a check says what it is made on and where it was opened", () => {
  const { view } = aSite();
  const [row] = checkLines("pipework", aSite()).map((line) => line.row);
  if (!row) throw new Error("no check on the pipework");

  const path = checkPath(row, { view, system, unit: view.unitById.get("J1"), from: "unit" });

  expect(path).toBe(`/job/${view.job.id}/check/${row.calculation}?system=s1&unit=J1&from=unit`);
});
