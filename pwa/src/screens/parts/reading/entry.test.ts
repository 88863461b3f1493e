import { expect, test } from "vitest";
import {
  emptyDraft,
  enteredOf,
  entryFor,
  type Field,
  inNextUnit,
  known,
  type ReadingDraft,
  shownText,
  siValueOf,
  typedAnew,
  unusualFields,
  wrongFields,
} from "./entry";

const gauge: Field = {
  name: "gauge_pa",
  label: "Gauge pressure",
  quantity: "gauge_pressure",
  usual: { low: 100_000, high: 4_500_000 },
};

function typed(text: string, field = gauge): ReadingDraft {
  const draft = emptyDraft({});
  const entry = entryFor(field, { draft, system: "ip" });
  return { ...draft, typed: { [field.name]: typedAnew(entry, { text }) } };
}

function switched(draft: ReadingDraft, times = 1): ReadingDraft {
  let entry = entryFor(gauge, { draft, system: "ip" });
  for (let at = 0; at < times; at += 1) entry = inNextUnit(entry, gauge);
  return { ...draft, typed: { gauge_pa: entry } };
}

const text = (draft: ReadingDraft) => shownText(entryFor(gauge, { draft, system: "ip" }), gauge);

test("another unit shows the same pressure, and the value that counts does not move at all", () => {
  const draft = typed("118");

  const inKpa = switched(draft);

  expect(text(inKpa)).toBe("813.6");
  expect(siValueOf(gauge, { draft: inKpa })).toBe(siValueOf(gauge, { draft }));
  expect(enteredOf([gauge], { draft: inKpa, picks: [] })).toEqual({
    gauge_pa: { text: "118", unit: "psi" },
  });
});

test("round all units, what was typed stands there as it was typed", () => {
  expect(text(switched(typed("118.0"), 3))).toBe("118.0");
});

test("typing anew in the other unit replaces what was typed", () => {
  const inKpa = switched(typed("118"));
  const entry = entryFor(gauge, { draft: inKpa, system: "ip" });

  const draft = { ...inKpa, typed: { gauge_pa: typedAnew(entry, { text: "820" }) } };

  expect(siValueOf(gauge, { draft })).toBe(820_000);
  expect(enteredOf([gauge], { draft, picks: [] }).gauge_pa).toEqual({ text: "820", unit: "kPa" });
});

test("an empty field, and one that holds no number, only change the unit", () => {
  expect(entryFor(gauge, { draft: switched(typed("")), system: "ip" }).unit).toBe("kPa");
  expect(text(switched(typed("1.2.3")))).toBe("1.2.3");
  expect(wrongFields([gauge], { draft: typed("1.2.3") })).toEqual([gauge]);
});

test("a room of the sheet is in the sheet's unit and shown in the person's", () => {
  const room: Field = { name: "room_m3", label: "Room", quantity: "room_volume" };
  const draft = { ...emptyDraft({}), typed: { room_m3: known(27, { unit: "m³" }) } };

  const entry = entryFor(room, { draft, system: "ip" });

  expect(shownText(entry, room)).toBe("953.5");
  expect(siValueOf(room, { draft })).toBe(27);
  expect(enteredOf([room], { draft, picks: [] })).toEqual({ room_m3: { text: "27", unit: "m³" } });
});

test("out of the usual is told, in whatever unit it was typed", () => {
  expect(unusualFields([gauge], { draft: typed("5") })).toEqual([gauge]);
  expect(unusualFields([gauge], { draft: typed("118") })).toEqual([]);
});

test("what was picked goes into the record beside what was typed", () => {
  const pick = { name: "attitude", label: "How it lies", options: [] };
  const draft = { ...typed("118"), picked: { attitude: "level", air_by: "altitude_m" } };

  expect(enteredOf([gauge], { draft, picks: [pick] })).toEqual({
    gauge_pa: { text: "118", unit: "psi" },
    attitude: { text: "level", unit: "" },
  });
});
