import { expect, test } from "vitest";
import { readPreferences } from "../local/preferences";
import { benWithAPhone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { forgetInstrument, keepInstrument, preferUnits, rememberInUse } from "./prefer";

const GAUGE = { name: "gauge 12", range: "0-800 psi", resolution: "0.5 psi", calibrated_on: null };

test("two people who share a phone keep their own units and instruments", async () => {
  const server = new FakeServer();
  const ben = await benWithAPhone(server);
  await preferUnits("ip");
  await keepInstrument(GAUGE);

  const other = await benWithAPhone(server);
  await preferUnits("si");

  expect(await readPreferences(ben.store)).toMatchObject({ units: "ip", instruments: [GAUGE] });
  expect(await readPreferences(other.store)).toMatchObject({ units: "si", instruments: [] });
});

test("an instrument is changed in its place, and taken off the list on its own", async () => {
  const { store } = await benWithAPhone(new FakeServer());
  const id = await keepInstrument(GAUGE);
  await keepInstrument({ ...GAUGE, name: "thermometer 3" });

  await keepInstrument({ ...GAUGE, calibrated_on: "2026-03-01" }, { id });
  await rememberInUse("superheat", { ids: [id] });
  const kept = await readPreferences(store);
  await forgetInstrument(id);

  expect(kept.instruments.map((one) => [one.name, one.calibrated_on])).toEqual([
    ["gauge 12", "2026-03-01"],
    ["thermometer 3", null],
  ]);
  expect(kept.in_use).toEqual({ superheat: [id] });
  expect((await readPreferences(store)).instruments.map((one) => one.name)).toEqual([
    "thermometer 3",
  ]);
});
