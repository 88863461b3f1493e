import { expect, test } from "vitest";
import type { LimitRow } from "../../../../local/rows";
import type { JobView } from "../../../../queries/job";
import { emptyDraft } from "../../../parts/reading/entry";
import {
  CRITERIA,
  criteriaOf,
  criterionOf,
  OF_SHEET,
  sheetEntries,
  withCriterion,
} from "./criteria";
import type { HoldDraft } from "./typed";

const aLimit = (name: string, value: number): LimitRow =>
  ({ name, value, source: "the maker's manual", mark: "M" }) as LimitRow;
const aView = (limits: LimitRow[]): JobView => ({ limits }) as unknown as JobView;

const SHEET = aView([aLimit("vacuum_limit_pa", 50), aLimit("vacuum_hold_s", 7200)]);
const EMPTY: HoldDraft = emptyDraft({ times: {} });

test("the limits sheet comes first, where it says how high and how long", () => {
  const [own] = criteriaOf(SHEET);

  expect(own).toMatchObject({ id: OF_SHEET, limit: { value: 50, unit: "Pa" }, hours: 2 });
  expect(sheetEntries(SHEET)["limit_pa"]).toMatchObject({ text: "50", unit: "Pa" });
});

test.each([1200, 2400, 3000, 4000])(
  "a time of %i s is short in its field, and met by a hold as long",
  (value) => {
    const sheet = aView([aLimit("vacuum_limit_pa", 50), aLimit("vacuum_hold_s", value)]);

    const text = sheetEntries(sheet)["hold_s"]?.text ?? "";

    expect(text.length).toBeLessThanOrEqual(6);
    expect(Number(text) * 3600).toBeLessThanOrEqual(value);
    expect(Number(text) * 3600).toBeGreaterThan(value - 1);
  },
);

test("without both of them only what is published is offered", () => {
  const half = aView([aLimit("vacuum_limit_pa", 50)]);

  expect(criteriaOf(half)).toEqual(CRITERIA);
  expect(sheetEntries(half)).toEqual({});
});

test("a number that was changed is no longer the sheet's", () => {
  const picked = { ...EMPTY, ...withCriterion(EMPTY, { id: OF_SHEET, view: SHEET }) };
  const changed = {
    ...picked,
    typed: { ...picked.typed, limit_pa: { text: "60", unit: "Pa", shown: "Pa" } },
  };

  expect(criterionOf(picked, { view: SHEET })?.source).toBe("the maker's manual");
  expect(criterionOf(changed, { view: SHEET })).toBeUndefined();
});
