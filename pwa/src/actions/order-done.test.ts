import { expect, test } from "vitest";
import type { AttentionRecord } from "../local/records";
import { asDone } from "./order-done";

function aCard(part: Partial<AttentionRecord> & { id: string }): AttentionRecord {
  return {
    job_id: "job-1",
    type: "issue.set",
    entity: "i1",
    fields: {},
    device_time: "2026-11-25T09:00:00.000Z",
    outcome: "set_aside",
    code: "no_access",
    message: "",
    problem_fields: {},
    at: "2026-11-25T09:01:00.000Z",
    ...part,
  };
}

const ids = (cards: AttentionRecord[]) => asDone(cards).map(({ id }) => id);

test("what one phone did follows its numbers, whatever its clock did meanwhile", () => {
  const first = aCard({ id: "m9", device_id: "phone", seq: 4 });
  const second = aCard({ id: "m2", device_id: "phone", seq: 5 });
  const third = aCard({ id: "m3", device_id: "phone", seq: 11 });

  expect(ids([third, second, first])).toEqual(["m9", "m2", "m3"]);
});

test("what two phones did follows the time, and each phone its own numbers", () => {
  const early = aCard({ id: "m5", device_id: "phone", seq: 1 });
  const late = aCard({ id: "m1", device_id: "phone", seq: 2 });
  const before = aCard({ id: "m4", device_id: "tablet", seq: 8 });
  const after = aCard({ id: "m6", device_id: "tablet", seq: 9 });

  expect(ids([late, after, early, before])).toEqual(["m4", "m5", "m1", "m6"]);
});

test("what was kept before there were numbers follows the time", () => {
  const numbered = aCard({ id: "m2", device_id: "phone", seq: 1 });

  expect(ids([aCard({ id: "m3" }), numbered, aCard({ id: "m1" })])).toEqual(["m1", "m2", "m3"]);
});
