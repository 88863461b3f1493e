/**
 * Quantities and the units that people read them in. The engine takes and gives SI (degrees
 * Celsius for temperatures); what a person typed is never converted, only what is worked out from it.
 *
 * Factors: NIST SP 811, 2008 edition, appendix B.8 (S); the exact ones follow from 1 ft = 0.3048 m,
 * 1 lb = 0.45359237 kg and standard gravity 9.80665 m/s2.
 */
import type { UnitSystem } from "../local/preferences";
import { decimalSeparator, parseEntry } from "./entry";
import { formatQuantity, HARD_SPACE } from "./number";

export type { UnitSystem } from "../local/preferences";

export type Unit = {
  symbol: string;
  /** SI value = (number + offset) * factor. */
  factor: number;
  offset?: number;
  /** Decimals worth showing: about what a good instrument of the trade resolves. */
  digits: number;
};

const FOOT_M = 0.3048;
const INCH_M = 0.0254;
const POUND_KG = 0.45359237;
const OUNCE_KG = POUND_KG / 16;
const CUBIC_FOOT_M3 = FOOT_M ** 3;
const PSI_PA = (POUND_KG * 9.80665) / INCH_M ** 2;
/** A thousandth of a millimetre of mercury, here of a torr: 101325/760 Pa exactly. */
const MICRON_PA = 101325 / 760 / 1000;
const INCH_MERCURY_PA = 3386.389;
const BTU_PER_HOUR_W = 1055.05585262 / 3600;

const PRESSURE: Unit[] = [
  { symbol: "psi", factor: PSI_PA, digits: 1 },
  { symbol: "kPa", factor: 1000, digits: 1 },
  { symbol: "bar", factor: 100_000, digits: 3 },
];
const only = (symbol: string, digits: number, factor = 1): Unit[] => [{ symbol, factor, digits }];

export const UNITS = {
  gauge_pressure: PRESSURE,
  pressure_difference: PRESSURE,
  absolute_pressure: [
    { symbol: "psia", factor: PSI_PA, digits: 2 },
    { symbol: "kPa", factor: 1000, digits: 1 },
    { symbol: "bar", factor: 100_000, digits: 3 },
  ],
  air_pressure: [
    { symbol: "inHg", factor: INCH_MERCURY_PA, digits: 2 },
    { symbol: "hPa", factor: 100, digits: 1 },
    { symbol: "kPa", factor: 1000, digits: 2 },
    { symbol: "psia", factor: PSI_PA, digits: 2 },
  ],
  vacuum: [
    { symbol: "micron", factor: MICRON_PA, digits: 0 },
    { symbol: "Pa", factor: 1, digits: 1 },
  ],
  temperature: [
    { symbol: "°F", factor: 1 / 1.8, offset: -32, digits: 1 },
    { symbol: "°C", factor: 1, digits: 1 },
  ],
  temperature_difference: [
    { symbol: "°F", factor: 1 / 1.8, digits: 1 },
    { symbol: "K", factor: 1, digits: 1 },
  ],
  length: [
    { symbol: "ft", factor: FOOT_M, digits: 1 },
    { symbol: "m", factor: 1, digits: 2 },
  ],
  short_length: [
    { symbol: "in", factor: INCH_M, digits: 2 },
    { symbol: "mm", factor: 0.001, digits: 1 },
  ],
  altitude: [
    { symbol: "ft", factor: FOOT_M, digits: 0 },
    { symbol: "m", factor: 1, digits: 0 },
  ],
  mass: [
    { symbol: "lb", factor: POUND_KG, digits: 2 },
    { symbol: "kg", factor: 1, digits: 2 },
  ],
  small_mass: [
    { symbol: "oz", factor: OUNCE_KG, digits: 1 },
    { symbol: "g", factor: 0.001, digits: 0 },
  ],
  mass_per_length: [
    { symbol: "lb/ft", factor: POUND_KG / FOOT_M, digits: 4 },
    { symbol: "oz/ft", factor: OUNCE_KG / FOOT_M, digits: 3 },
    { symbol: "kg/m", factor: 1, digits: 3 },
  ],
  volume: [
    { symbol: "ft³", factor: CUBIC_FOOT_M3, digits: 3 },
    { symbol: "L", factor: 0.001, digits: 1 },
    { symbol: "m³", factor: 1, digits: 4 },
  ],
  room_volume: [
    { symbol: "ft³", factor: CUBIC_FOOT_M3, digits: 0 },
    { symbol: "m³", factor: 1, digits: 1 },
  ],
  air_flow: [
    { symbol: "cfm", factor: CUBIC_FOOT_M3 / 60, digits: 0 },
    { symbol: "L/s", factor: 0.001, digits: 0 },
    { symbol: "m³/h", factor: 1 / 3600, digits: 0 },
    { symbol: "m³/s", factor: 1, digits: 3 },
  ],
  concentration: [
    { symbol: "lb/1000 ft³", factor: POUND_KG / (1000 * CUBIC_FOOT_M3), digits: 2 },
    { symbol: "g/m³", factor: 0.001, digits: 0 },
    { symbol: "kg/m³", factor: 1, digits: 3 },
  ],
  density: [
    { symbol: "lb/ft³", factor: POUND_KG / CUBIC_FOOT_M3, digits: 2 },
    { symbol: "kg/m³", factor: 1, digits: 1 },
  ],
  power: [
    { symbol: "Btu/h", factor: BTU_PER_HOUR_W, digits: 0 },
    { symbol: "kW", factor: 1000, digits: 2 },
    { symbol: "W", factor: 1, digits: 0 },
  ],
  humidity: [
    { symbol: "gr/lb", factor: 1 / 7000, digits: 0 },
    { symbol: "g/kg", factor: 0.001, digits: 1 },
  ],
  mass_flow: [
    { symbol: "lb/h", factor: POUND_KG / 3600, digits: 2 },
    { symbol: "kg/h", factor: 1 / 3600, digits: 2 },
  ],
  energy: only("kJ", 0, 1000),
  leak_rate: only("Pa·m³/s", 6),
  voltage: only("V", 1),
  current: only("A", 1),
  percent: only("%", 2),
  angle: only("°", 1),
  minutes: only("min", 0, 60),
  hours: only("h", 1, 3600),
  count: only("", 0),
  ratio: only("", 3),
} satisfies Record<string, Unit[]>;

export type Quantity = keyof typeof UNITS;

export const unitsOf = (quantity: Quantity): readonly Unit[] => UNITS[quantity];

/** Symbols that only people used to inch and pound read at ease. */
const IP = /psi|inHg|micron|°F|^ft|^in$|lb|oz|cfm|Btu/;

/** The unit that a person of this system starts with. */
export function usualUnit(quantity: Quantity, { system }: { system: UnitSystem }): Unit {
  const units = unitsOf(quantity);
  const found = units.find((unit) => IP.test(unit.symbol) === (system === "ip"));
  return found ?? (units[0] as Unit);
}

/** A unit by its symbol; one that is not known, as from an older app, is the first of the quantity. */
export function unitOf(quantity: Quantity, { symbol }: { symbol: string }): Unit {
  const units = unitsOf(quantity);
  return units.find((unit) => unit.symbol === symbol) ?? (units[0] as Unit);
}

export function unitAfter(quantity: Quantity, { symbol }: { symbol: string }): Unit {
  const units = unitsOf(quantity);
  const at = units.findIndex((unit) => unit.symbol === symbol);
  return units[(at + 1) % units.length] as Unit;
}

export function toSi(value: number, { offset = 0, factor }: Unit): number {
  return (value + offset) * factor;
}

export function fromSi(value: number, { offset = 0, factor }: Unit): number {
  return value / factor - offset;
}

/** A typed number as SI, or null when it is none. */
export function siOf(text: string, unit: Unit): number | null {
  const value = parseEntry(text);
  return value === null ? null : toSi(value, unit);
}

/** "0.5 psi", as on an instrument: the SI value, or null where no known unit stands behind. */
export function parseQuantity(text: string, { quantity }: { quantity: Quantity }): number | null {
  const match = /^([-−\d.,]+)\s*(.+)$/.exec(text.trim());
  const unit = unitsOf(quantity).find((one) => one.symbol === match?.[2]?.trim());
  return unit ? siOf(match?.[1] ?? "", unit) : null;
}

/** Figures that a changed unit shows: one more than were typed, within what people can read. */
const CARRIED_DIGITS = { fewest: 4, most: 6 };

function carriedDigits(text: string): number {
  const figures = text.replaceAll(/\D/g, "").replace(/^0+/, "").length;
  return Math.min(CARRIED_DIGITS.most, Math.max(CARRIED_DIGITS.fewest, figures + 1));
}

/** A typed number in another unit, only to be looked at: what was typed stays. As text that a number field can hold. */
export function carriedOver(text: string, { from, to }: { from: Unit; to: Unit }): string {
  const si = siOf(text, from);
  if (si === null) return text;
  const rounded = Number(fromSi(si, to).toPrecision(carriedDigits(text)));
  // Rounding of the machine around nought must not look like a measurement.
  const plain = Math.abs(rounded) < 1e-9 ? "0" : String(Number(rounded.toFixed(9)));
  return plain.includes("e") ? rounded.toFixed(9) : plain.replace(".", decimalSeparator());
}

/** A raw number in a person's unit. Small masses read in ounces or grams. */
export function formatIn(
  si: number,
  { quantity, unit }: { quantity: Quantity; unit: Unit },
): string {
  const shown = quantity === "mass" ? (smallMass(si, unit) ?? unit) : unit;
  const value = fromSi(si, shown);
  if (quantity === "leak_rate") return formatLeak(value);
  const text = formatQuantity(value, { digits: digitsFor(value, shown), unit: shown.symbol });
  // A sign of degrees of angle stands right at its number.
  return text.replace(`${HARD_SPACE}°`, shown.symbol === "°" ? "°" : `${HARD_SPACE}°`).trimEnd();
}

/** Below this share of a pound or a kilogram two decimals say too little: ounces or grams then. */
const SMALL_MASS = 0.25;

function smallMass(si: number, unit: Unit): Unit | null {
  if (Math.abs(fromSi(si, unit)) >= SMALL_MASS || si === 0) return null;
  return unitOf("small_mass", { symbol: unit.symbol === "lb" ? "oz" : "g" });
}

/** Smaller by this much than the last usual decimal: rounding of the machine, and no value. */
const MACHINE_NOUGHT = 1e-5;

const isWhole = (value: number) => Math.abs(value - Math.round(value)) < MACHINE_NOUGHT;

/** A value so small that its usual decimals would show nought keeps two figures. */
function digitsFor(value: number, { symbol, digits }: Unit): number {
  const size = Math.abs(value);
  // A limit of 2 % is not one of 2.00 %, and 104 % of it is not 104.00 %.
  if (symbol === "%") return Number.isInteger(value) ? 0 : size < 10 ? 2 : 1;
  // Nor is one of 26 lb in so much air one of 26.00 lb; it comes back from SI not quite whole.
  if (symbol === "lb/1000 ft³" && size > 1 && isWhole(value)) return 0;
  const usual = 10 ** -digits;
  // What rounds to the last usual decimal has it; what the machine leaves of nought stays nought.
  if (size >= usual / 2 || size < usual * MACHINE_NOUGHT) return digits;
  return Math.min(9, Math.ceil(-Math.log10(size)) + 1);
}

const SUPERSCRIPT = "⁰¹²³⁴⁵⁶⁷⁸⁹";

/** Leak rates span decades: "4.4 × 10⁻⁴ Pa·m³/s". */
function formatLeak(value: number): string {
  const symbol = UNITS.leak_rate[0]?.symbol ?? "";
  const size = Math.abs(value);
  if (size === 0 || (size >= 0.001 && size < 1000)) {
    return formatQuantity(value, { significant: 2, unit: symbol });
  }
  const power = Math.floor(Math.log10(size));
  const raised = [...String(Math.abs(power))].map((digit) => SUPERSCRIPT[Number(digit)]).join("");
  const tens = `× 10${power < 0 ? "⁻" : ""}${raised}`;
  const number = formatQuantity(value / 10 ** power, { digits: 1, unit: tens });
  // Too long for a narrow place: only there it breaks, and never within the unit.
  return `${number.replaceAll(" ", "\u00a0")} ${symbol}`;
}
