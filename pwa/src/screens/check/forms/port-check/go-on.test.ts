import { expect, test } from "vitest";
import type { ReadingRow } from "../../../../local/rows";
import { aUnit } from "../../../parts/job-view.builder";
import { openDraft } from "./go-on";
import { readInputs } from "./rounds";

const units = ["A", "B", "C"].map((tag) => aUnit({ id: tag.toLowerCase(), tag }));
const settings = ["round_s"];
const degrees = (text: string) => ({ text, unit: "°C" });

function aSavedCheck(part: Partial<ReadingRow> = {}): ReadingRow {
  return {
    taken_at: "2026-11-25T15:00:00.000Z",
    reason: "draughty",
    inputs: {
      codes: [
        { unit: "A", code: "1101" },
        { unit: "B", code: "1000" },
        { unit: "C", code: "0100" },
      ],
    },
    entered: {
      round_s: { text: "10", unit: "min" },
      how: { text: "supply", unit: "" },
      mode: { text: "cooling", unit: "" },
      "start.A": degrees("24"),
      "supply[0].A": degrees("15"),
      "supply[3].A": degrees("14"),
    },
    outputs: { verdict: "unclear", next_round: { on: ["B"], off: ["A", "C"], read: ["B"] } },
    ...part,
  } as unknown as ReadingRow;
}

test("a check that was saved unclear opens again at its result, with all that was read", () => {
  const draft = openDraft(aSavedCheck(), { units, settings });
  if (!draft) throw new Error("there is no draft");

  expect(draft.own.place).toBe("result");
  expect(draft.own.rounds.map(({ kind, on }) => `${kind} ${on}`)).toEqual([
    "round a,b",
    "round a,c",
    "pause ",
    "round a",
  ]);
  expect(draft.picked).toEqual({ how: "supply", mode: "cooling" });
  expect(draft.reason).toBe("draughty");
  const values = { "start.a": 24, "supply[0].a": 15, "supply[3].a": 14 };
  expect(Object.keys(draft.typed).sort()).toEqual(["round_s", ...Object.keys(values)].sort());
  expect(readInputs(values, { draft, units })).toMatchObject({
    codes: aSavedCheck().inputs["codes"],
    responses: [{ unit: "A", values: [9, null, null, 10] }],
  });
});

test("there is nothing to go on with where no round would tell more, or a unit is gone", () => {
  const settled = aSavedCheck({ outputs: { verdict: "pass", next_round: null } });

  expect(openDraft(settled, { units, settings })).toBeNull();
  expect(openDraft(undefined, { units, settings })).toBeNull();
  expect(openDraft(aSavedCheck(), { units: units.slice(1), settings })).toBeNull();
});
