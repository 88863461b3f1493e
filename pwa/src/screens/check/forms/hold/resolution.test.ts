import { expect, test } from "vitest";
import type { Instrument } from "../../../../local/rows";
import "../../../../text/checks";
import { emptyDraft } from "../../../parts/reading/entry";
import type { HoldKind } from "./kind";
import { PRESSURE } from "./pressure";
import { otherResolution, resolutionOf } from "./resolution";
import { VACUUM } from "./vacuum";

const gauge = (resolution: string): Instrument =>
  ({ name: "gauge", range: "", resolution, calibrated_on: null }) as Instrument;
const setupOf = (kind: HoldKind) => kind.setup(emptyDraft({ times: {} }));

test.each([
  ["a standing vacuum", VACUUM, "5 micron"],
  ["a pressure hold", PRESSURE, "0.1 psi"],
])("%s takes the smallest step from the card of its own gauge", (_, kind, resolution) => {
  const [text, unit] = resolution.split(" ");
  const cards = [gauge("0.01 V"), gauge("")].concat(gauge(resolution));

  expect(resolutionOf(cards, setupOf(kind))).toEqual({ gauge_resolution_pa: { text, unit } });
});

test("a gauge of the other hold says nothing here", () => {
  expect(resolutionOf([gauge("0.1 psi")], setupOf(VACUUM))).toEqual({});
  expect(resolutionOf([gauge("5 micron")], setupOf(PRESSURE))).toEqual({});
});

test("a gauge in the hand with another step than the hold is judged with is told", () => {
  const of = (resolution: string) =>
    otherResolution([gauge(resolution)], { setup: setupOf(PRESSURE), used: 689.476 });

  expect(of("5 psi")).toEqual({ name: "gauge", said: "5 psi" });
  expect(of("0.1 psi")).toBeNull();
  expect(of("0.69 kPa")).toBeNull();
  expect(of("")).toBeNull();
});

test("a vacuum is begun without it too: the engine takes a micron", () => {
  const field = setupOf(VACUUM).find(({ name }) => name === "gauge_resolution_pa");

  expect(field).toMatchObject({ need: "optional", quantity: "vacuum" });
});
