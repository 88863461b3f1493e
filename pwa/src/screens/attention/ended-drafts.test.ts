import { expect, test } from "vitest";
import { begunLines, begunTitle } from "./ended-draft-words";

test("what was begun is named after what it would have become", () => {
  const titles = ["log:job:any", "check:supply_power:sys", "of_next_year:1"].map((key) =>
    begunTitle({ key }),
  );

  expect(titles).toEqual([
    "New issue: not finished",
    "Supply and rotation: not finished",
    "Change: not finished",
  ]);
});

test("all that was written is there to be read, and no codes", () => {
  const value = {
    unitId: "018f",
    category: "drain",
    words: "drips",
    action: null,
    whoMustAct: "contractor",
  };

  expect(begunLines({ key: "log:job:any", value })).toEqual(["Drain", "Words: drips"]);
});

test("figures stand with the unit in which they were typed", () => {
  const typed = {
    v_ab_v: { text: "401", unit: "V", shown: "V" },
    v_bc_v: { text: "", unit: "V", shown: "V" },
  };

  const lines = begunLines({ key: "check:supply_power:s", value: { typed, reason: "old meter" } });

  expect(lines).toEqual(["Reason: old meter", expect.stringMatching(/: 401.V$/)]);
});

test("marks on a photo that is no longer here are counted", () => {
  const marks = [{ tool: "ring", points: [] }];

  expect(begunLines({ key: "marks:p1", value: { marks } })).toEqual([
    "1 mark drawn on a photo of the job",
  ]);
});
