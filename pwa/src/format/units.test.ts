import { expect, test } from "vitest";
import {
  carriedOver,
  formatIn,
  fromSi,
  parseQuantity,
  type Quantity,
  siOf,
  toSi,
  UNITS,
  unitAfter,
  unitOf,
  usualUnit,
} from "./units";

const QUANTITIES = Object.keys(UNITS) as Quantity[];
const one = (quantity: Quantity, symbol: string) => unitOf(quantity, { symbol });

/** The same numbers on every run: told apart by their place, not by chance. */
function* numbers(): Generator<number> {
  for (let at = 0; at < 200; at += 1) yield ((at * 7919) % 2003) / 3 - 250;
}

test("every unit of every quantity goes to SI and back", () => {
  for (const quantity of QUANTITIES) {
    for (const unit of UNITS[quantity]) {
      for (const value of numbers()) {
        const back = fromSi(toSi(value, unit), unit);
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(value)));
      }
    }
  }
});

// NIST SP 811, appendix B.8, as printed there (S).
test.each([
  ["gauge_pressure", "psi", 6894.757],
  ["vacuum", "micron", 0.1333224],
  ["air_pressure", "inHg", 3386.389],
  ["length", "ft", 0.3048],
  ["short_length", "in", 0.0254],
  ["mass", "lb", 0.4535924],
  ["small_mass", "oz", 0.02834952],
  ["volume", "ft³", 0.02831685],
  ["air_flow", "cfm", 0.0004719474],
  ["concentration", "lb/1000 ft³", 0.01601846],
  ["density", "lb/ft³", 16.01846],
  ["mass_per_length", "lb/ft", 1.488164],
  ["power", "Btu/h", 0.2930711],
  ["mass_flow", "lb/h", 0.0001259979],
] as const)("%s in %s is %s in SI", (quantity, symbol, factor) => {
  expect(toSi(1, one(quantity, symbol))).toBeCloseTo(factor, Math.ceil(6 - Math.log10(factor)));
});

test("a temperature has an offset, a difference has none", () => {
  expect(toSi(212, one("temperature", "°F"))).toBeCloseTo(100, 12);
  expect(toSi(-40, one("temperature", "°F"))).toBeCloseTo(-40, 12);
  expect(toSi(18, one("temperature_difference", "°F"))).toBeCloseTo(10, 12);
});

test("a changed unit shows the same physical value, and what was typed comes back through it", () => {
  const [psi, kpa] = [one("gauge_pressure", "psi"), one("gauge_pressure", "kPa")];

  const shown = carriedOver("118", { from: psi, to: kpa });

  expect(shown).toBe("813.6");
  expect(siOf(shown, kpa)).toBeCloseTo(siOf("118", psi) ?? 0, -2);
  expect(carriedOver("32", { from: one("temperature", "°F"), to: one("temperature", "°C") })).toBe(
    "0",
  );
  expect(carriedOver("1.2.3", { from: psi, to: kpa })).toBe("1.2.3");
});

test("a room of the sheet is shown with figures that can be read, and fit", () => {
  const [m3, ft3] = [one("room_volume", "m³"), one("room_volume", "ft³")];

  expect(carriedOver("27", { from: m3, to: ft3 })).toBe("953.5");
  expect(carriedOver("142", { from: m3, to: ft3 })).toBe("5015");
  expect(carriedOver("2041.25", { from: ft3, to: m3 })).toBe("57.8018");
});

test("a limit in whole pounds is not told with decimals", () => {
  const unit = one("concentration", "lb/1000 ft³");

  expect(formatIn(toSi(26, unit), { quantity: "concentration", unit })).toBe("26\u00a0lb/1000 ft³");
  expect(formatIn(toSi(25.6, unit), { quantity: "concentration", unit })).toContain("25.60");
});

test("carried over, a value never moves by as much as half of its last figure", () => {
  for (const quantity of QUANTITIES.filter((name) => !name.startsWith("temperature"))) {
    for (const from of UNITS[quantity]) {
      const to = unitAfter(quantity, from);
      for (let typed = 10; typed < 1000; typed += 7) {
        const carried = siOf(carriedOver(String(typed), { from, to }), to) ?? Number.NaN;
        expect(Math.abs(fromSi(carried, from) - typed)).toBeLessThan(0.5);
      }
    }
  }
});

test("carried over, a value with many figures never moves by more than its sixth", () => {
  for (const quantity of QUANTITIES) {
    for (const from of UNITS[quantity]) {
      const to = unitAfter(quantity, from);
      for (const value of numbers()) {
        const carried = siOf(carriedOver(value.toFixed(9), { from, to }), to) ?? Number.NaN;
        const scale = Math.abs(fromSi(toSi(value, from), to)) * to.factor;
        expect(Math.abs(carried - toSi(value, from))).toBeLessThanOrEqual(1e-5 * scale + 1e-8);
      }
    }
  }
});

test("pressing the suffix goes round all units of a quantity", () => {
  for (const quantity of QUANTITIES) {
    let unit = usualUnit(quantity, { system: "ip" });
    for (const _ of UNITS[quantity]) unit = unitAfter(quantity, unit);
    expect(unit).toEqual(usualUnit(quantity, { system: "ip" }));
  }
});

test("each kind of person starts with the unit of their own", () => {
  expect(usualUnit("gauge_pressure", { system: "ip" }).symbol).toBe("psi");
  expect(usualUnit("gauge_pressure", { system: "si" }).symbol).toBe("kPa");
  expect(usualUnit("vacuum", { system: "si" }).symbol).toBe("Pa");
  expect(usualUnit("concentration", { system: "si" }).symbol).toBe("g/m³");
  expect(usualUnit("voltage", { system: "ip" }).symbol).toBe("V");
});

test("a number is shown with the figures that an instrument has", () => {
  const show = (si: number, quantity: Quantity, symbol: string) =>
    formatIn(si, { quantity, unit: one(quantity, symbol) });

  expect(show(813581, "gauge_pressure", "psi")).toBe("118.0\u00a0psi");
  expect(show(2.31, "mass", "kg")).toBe("2.31\u00a0kg");
  expect(show(0.0478191, "mass", "kg")).toBe("48\u00a0g");
  expect(show(-0.808, "mass", "kg")).toBe("−0.81\u00a0kg");
  expect(show(0.0478191, "mass", "lb")).toBe("1.7\u00a0oz");
  expect(show(4.444079e-4, "leak_rate", "Pa·m³/s")).toBe("4.4\u00a0×\u00a010⁻⁴ Pa·m³/s");
  expect(show(0.019, "leak_rate", "Pa·m³/s")).toBe("0.019\u00a0Pa·m³/s");
  expect(show(0.718076, "ratio", "")).toBe("0.718");
  expect(show(365, "pressure_difference", "psi")).toBe("0.1\u00a0psi");
  expect(show(90, "pressure_difference", "psi")).toBe("0.013\u00a0psi");
  expect(show(1e-9, "pressure_difference", "psi")).toBe("0.0\u00a0psi");
});

test("the resolution of an instrument is read from how it is written", () => {
  expect(parseQuantity("0.5 psi", { quantity: "gauge_pressure" })).toBeCloseTo(3447.379, 3);
  expect(parseQuantity("0.1", { quantity: "gauge_pressure" })).toBeNull();
});
