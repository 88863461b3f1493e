import { beforeEach, expect, test } from "vitest";
import { readRow } from "../local/merge";
import { leaveSession } from "../local/session";
import type { Store } from "../local/store";
import { benWithAPhone, idOf } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { saveDraft } from "./drafts";
import { type RecordHold, recordHold } from "./recordHold";

let store: Store;

beforeEach(async () => {
  await leaveSession();
  ({ store } = await benWithAPhone(new FakeServer()));
  await store.rows.add({
    table: "step",
    id: "step",
    job_id: "job-1",
    rev: 1,
    fields: { code: "pressure_hold", state: "todo", system_id: "s1" },
  });
});

const aHold = (part: Partial<RecordHold>): RecordHold => ({
  jobId: "job-1",
  calculation: "pressure_hold",
  systemId: "s1",
  unitId: null,
  stepId: "step",
  visitId: null,
  inputs: { readings: [{ t_s: 0, gauge_pa: 3_300_000 }] },
  entered: {},
  outputs: {},
  verdict: "unclear",
  engineVersion: "1",
  reopensStepId: null,
  ...part,
});
const step = async () => (await readRow(store, { table: "step", id: "step" }))?.state;

test("each look at a hold is one write, and a hold that is unclear settles nothing", async () => {
  await saveDraft("check:pressure_hold:s1", { typed: {} });

  const first = idOf(await recordHold(aHold({ draftKey: "check:pressure_hold:s1" })));
  await recordHold(aHold({ replacesId: first }));

  const sent = await store.outbox.orderBy("[job_id+seq]").toArray();
  expect(sent.map((one) => [one.type, one.fields["replaces_id"]])).toEqual([
    ["reading.record", null],
    ["reading.record", first],
  ]);
  expect(await store.drafts.count()).toBe(0);
  expect(await step()).toBe("todo");
});

test("a pass does the step, and a correction that takes it back opens the step again", async () => {
  const passed = idOf(await recordHold(aHold({ verdict: "pass" })));
  expect(await step()).toBe("done");

  await recordHold(aHold({ replacesId: passed, reopensStepId: "step" }));

  expect(await step()).toBe("todo");
  const sent = await store.outbox.orderBy("[job_id+seq]").toArray();
  expect(sent.map((one) => one.type)).toEqual(["reading.record", "reading.record", "step.mark"]);
});
