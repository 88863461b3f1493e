import { expect, test } from "vitest";
import type { SystemRow, UnitRow } from "../../../../local/rows";
import { aJobView, aUnit } from "../../../parts/job-view.builder";
import { emptyDraft } from "../../../parts/reading/entry";
import {
  type AddressesResult,
  addressInputs,
  asOnSheet,
  changesOf,
  editsOf,
  isAddress,
  kindsOf,
  opened,
  type Table,
  troublesOf,
  unitsFor,
  unitsShown,
} from "./table";

const systems = ["s1", "s2"].map((id) => ({ id, tag: id.toUpperCase() }) as SystemRow);

function aSite() {
  const view = aJobView({
    systems,
    units: [
      aUnit({ id: "a", tag: "L1-01", group_address: "1", central_address: "1" }),
      aUnit({ id: "b", tag: "L1-02", group_address: "01" }),
      aUnit({ id: "c", tag: "K1-01", system_id: "s2", group_address: "1" }),
    ],
  });
  return { view, system: systems[0], unit: view.unitById.get("b"), step: undefined };
}

const aDraft = (scope: Table["scope"]) =>
  emptyDraft<Table>({ scope, edits: [], central: "as_on_sheet" });
const GROUP = { "group_range[0]": 1, "group_range[1]": 64 };

test("addresses go to the engine as they stand on the sheet, with the system of each", () => {
  const inputs = addressInputs(GROUP, { draft: aDraft("site"), where: aSite() });

  expect(inputs?.["group_range"]).toEqual([1, 64]);
  expect(inputs?.["units"]).toEqual([
    { unit: "L1-02", group: "01", system: "S1" },
    { unit: "L1-01", group: "1", central: "1", system: "S1" },
    { unit: "K1-01", group: "1", system: "S2" },
  ]);
});

test("the unit that one stands before comes first, and a system leaves out the others", () => {
  expect(unitsFor(aSite(), { scope: "system" }).map((unit) => unit.tag)).toEqual([
    "L1-02",
    "L1-01",
  ]);
});

test("central addresses of other systems are taken, and their units are not judged", () => {
  const site = aSite();
  const other = site.view.unitById.get("c");
  if (other) other.central_address = "2";
  const values = { ...GROUP, "central_range[0]": 1, "central_range[1]": 64 };

  const inputs = addressInputs(values, { draft: aDraft("system"), where: site });
  const ofSite = addressInputs(values, { draft: aDraft("site"), where: site });

  expect(inputs?.["units"]).toMatchObject([{ unit: "L1-02" }, { unit: "L1-01" }]);
  expect(inputs?.["others"]).toEqual([{ unit: "K1-01", central: "2", system: "S2" }]);
  expect(ofSite?.["others"]).toBeUndefined();
});

test("another unit that is opened leaves what was typed for the one before", () => {
  const { view } = aSite();
  const [a, b, c] = ["a", "b", "c"].map((id) => view.unitById.get(id)) as UnitRow[];
  if (!a || !b || !c) throw new Error("no units");
  const typed = { ...asOnSheet(a), group: "9" };

  const edits = opened([typed, asOnSheet(b)], c, { view });

  expect(edits).toEqual([typed, asOnSheet(c)]);
});

test("what is typed for a unit stays in sight where only its neighbours are looked at", () => {
  const site = aSite();
  const c = site.view.unitById.get("c");
  if (!c) throw new Error("no unit");
  const own: Table = { ...aDraft("system").own, edits: [asOnSheet(c)] };

  expect(unitsShown(site, own).map((unit) => unit.tag)).toEqual(["L1-02", "L1-01", "K1-01"]);
  expect(unitsShown(site, { ...own, scope: "site" })).toHaveLength(3);
});

test("what an earlier version of the app kept for one unit is still open", () => {
  const edit = { unitId: "a", group: "9", central: "" };
  const kept = { scope: "site", edit } as unknown as Table;

  expect(editsOf(kept)).toEqual([edit]);
});

test("the first central address of a site can be typed: it is asked for, or its range is there", () => {
  const site = aSite();
  const first = site.view.unitById.get("a");
  if (first) first.central_address = null;
  const draft = aDraft("site");
  const asked = { ...draft, own: { ...draft.own, central: "asked" as const } };
  const ranged = { ...draft, typed: { "central_range[0]": { text: "1", unit: "", shown: "" } } };

  expect(kindsOf(site, draft)).toEqual(["group"]);
  expect(kindsOf(site, asked)).toEqual(["group", "central"]);
  expect(kindsOf(site, ranged)).toEqual(["group", "central"]);
});

test("half a range is waited for, not looked at", () => {
  const half = { "group_range[0]": 1, "central_range[0]": 1, "central_range[1]": 64 };

  expect(addressInputs(half, { draft: aDraft("site"), where: aSite() })).toBeNull();
});

test("only what was typed anew is written to the unit", () => {
  const { unit } = aSite();
  if (!unit) throw new Error("no unit");
  const edit = { unitId: "b", group: " 01", central: "2" };

  expect(changesOf(unit, edit)).toEqual({ central_address: "2" });
  expect(changesOf(unit, { ...edit, group: "", central: "" })).toEqual({ group_address: null });
});

test("letters are an address, signs are not", () => {
  expect(["12", "A-3", "", "01"].every(isAddress)).toBe(true);
  expect(["#3", "1/2", "123456789012345678901"].some(isAddress)).toBe(false);
});

test("each address shows what is wrong with it", () => {
  const result = {
    duplicates: [{ kind: "group", address: "1", units: ["L1-01", "L1-02"] }],
    missing: [{ kind: "central", unit: "L1-02" }],
    out_of_range: [],
    proposals: [],
  } as unknown as AddressesResult;

  const trouble = troublesOf(result);

  expect(trouble("L1-02", "group")).toBe("twice");
  expect(trouble("L1-02", "central")).toBe("missing");
  expect(trouble("L1-01", "central")).toBeUndefined();
});
