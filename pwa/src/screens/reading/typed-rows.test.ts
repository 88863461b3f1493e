import { expect, test } from "vitest";
import "../../text/checks";
import { typedRows } from "./typed-rows";

const known = { zone: "America/Chicago", nameOf: (id: string) => id };
const NBSP = "\u00a0";

test("a reading of a hold is one line: when, what, who, and whose clock", () => {
  const entered = {
    "readings[1].at": { text: "2026-11-26T18:00:00.000Z", unit: "" },
    "readings[1].gauge_pa": { text: "549", unit: "psi" },
    "readings[1].temperature_c": { text: "69.5", unit: "°F" },
    "readings[1].by": { text: "Ben Sample", unit: "" },
    "readings[1].clock": { text: "typed", unit: "" },
    "readings[1].id": { text: "01a1c634", unit: "" },
    "readings[0].clock": { text: "phone", unit: "" },
    "readings[0].gauge_pa": { text: "550", unit: "psi" },
    volume_m3: { text: "60", unit: "L" },
  };

  expect(typedRows(entered, known)).toEqual([
    { path: "readings[0]", words: `550${NBSP}psi` },
    {
      path: "readings[1]",
      words: `Thu Nov 26, 12:00, 549${NBSP}psi, 69.5${NBSP}°F, Ben Sample, time typed`,
    },
    { path: "volume_m3", words: `60${NBSP}L` },
  ]);
});

test("a line of a charge begins with where it leads and its size", () => {
  const entered = {
    "lines[0].length_m": { text: "36", unit: "ft" },
    "lines[0].size": { text: "To B1: 5/8 hard", unit: "" },
  };

  expect(typedRows(entered, known)).toEqual([
    { path: "lines[0]", words: `To B1: 5/8 hard, 36${NBSP}ft` },
  ]);
});

test("in the rounds of a port check each unit keeps its name", () => {
  const entered = {
    "supply[0].L1-01": { text: "59", unit: "°F" },
    "supply[0].L1-02": { text: "75", unit: "°F" },
  };

  expect(typedRows(entered, known).map(({ path }) => path)).toEqual(Object.keys(entered));
});
