import { expect, test } from "vitest";
import { mergeRows } from "./merge";
import type { BaseRecord, OverlayRecord } from "./records";

const step = (fields: object): BaseRecord => ({
  table: "step",
  id: "s1",
  job_id: "j",
  rev: 4,
  fields: { code: "charge", ...fields },
});
const change = (n: number, what: Partial<OverlayRecord>): OverlayRecord => ({
  n,
  mutation_id: `m${n}`,
  job_id: "j",
  table: "step",
  id: "s1",
  fields: {},
  makes: false,
  rev: null,
  ...what,
});

test("what was done on this phone lies over what the server told, in order", () => {
  const overlay = [
    change(2, { fields: { state: "done" } }),
    change(1, { fields: { state: "failed", note: "first try" } }),
  ];

  const row = mergeRows([step({ state: "todo" })], overlay).step[0];

  expect(row).toMatchObject({ code: "charge", state: "done", note: "first try", pending: true });
});

test("a row is pending until everything over it is acknowledged", () => {
  const acknowledged = change(1, { fields: { state: "done" }, rev: 9 });

  const row = mergeRows([step({ state: "todo" })], [acknowledged]).step[0];

  expect(row).toMatchObject({ state: "done", pending: false, rev: 9 });
});

test("a change to a row that the server took away shows nothing", () => {
  const rows = mergeRows([], [change(1, { fields: { state: "done" } })]);

  expect(rows.step).toEqual([]);
});

test("a row made on this phone shows, with the changes made to it since", () => {
  const overlay = [
    change(1, { table: "issue", id: "i", makes: true, fields: { state: "open" } }),
    change(2, { table: "issue", id: "i", fields: { state: "answered" } }),
  ];

  const rows = mergeRows([], overlay);

  expect(rows.issue).toEqual([{ id: "i", job_id: "j", rev: 0, pending: true, state: "answered" }]);
});

test("a field that this app does not know stays in a row whose other fields are changed here", () => {
  const ofNextYear = { deep: [1, { exact: 1e300 }] };

  const row = mergeRows(
    [step({ state: "todo", of_next_year: ofNextYear })],
    [change(1, { fields: { state: "done" } }), change(2, { fields: { note: "x" }, rev: 9 })],
  ).step[0];

  expect(row).toMatchObject({ state: "done", note: "x", of_next_year: ofNextYear });
});

test("what every row has is the phone's own to say, whatever a server sends among the fields", () => {
  const row = mergeRows([step({ id: "other", job_id: "other", rev: 99, pending: true })], [])
    .step[0];

  expect(row).toMatchObject({ id: "s1", job_id: "j", rev: 4, pending: false });
});
