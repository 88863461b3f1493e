import { beforeEach, expect, test } from "vitest";
import type { Store } from "../local/store";
import { uuid7 } from "../local/uuid7";
import { push } from "../sync/push";
import { benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { createJob, type NewUnit } from "./createJob";

/** The most that the server takes of one job, and of the JSON of its units. */
const MOST_UNITS = 1_500;
const LARGEST_SHEET_BYTES = 950_000;

let phone: Phone;
let store: Store;
let server: FakeServer;

beforeEach(async () => {
  server = new FakeServer();
  phone = await benWithAPhone(server);
  ({ store } = phone);
});

const bytesOf = (units: NewUnit[]) => new TextEncoder().encode(JSON.stringify(units)).length;

/** As many units as a job may have, with notes in letters of two bytes that bring them to this size. */
function unitsOf(bytes: number): NewUnit[] {
  const unit = (number: number, model_note: string): NewUnit => ({
    id: uuid7(),
    system_id: "system-1",
    kind: "indoor_unit",
    tag: `IU-${1_000 + number}`,
    floor: "1",
    floor_order: 1,
    place: "",
    room: "",
    room_m3: null,
    parent_id: null,
    port: null,
    port_count: null,
    group_address: "",
    central_address: "",
    feeder: "",
    line_size: null,
    line_length_m: null,
    model_note,
  });
  const all = (note: string) => Array.from({ length: MOST_UNITS }, (_, at) => unit(at, note));
  return all("ä".repeat((bytes - bytesOf(all(""))) / MOST_UNITS / 2));
}

async function aJobOf(units: NewUnit[]) {
  return await createJob({
    name: "Invented Hall",
    address: "1 Invented Street",
    contractorFirm: "Invented Pipes",
    timeZone: "Europe/Berlin",
    shiftStart: "07:00",
    shiftEnd: "15:30",
    shiftDays: [1, 2, 3, 4, 5],
    systems: [],
    units,
  });
}

test("the largest job that a check finds clean is saved and sent in one request", async () => {
  const units = unitsOf(LARGEST_SHEET_BYTES);

  const id = idOf(await aJobOf(units));
  const ended = await push(phone.line);

  expect(bytesOf(units)).toBeGreaterThan(LARGEST_SHEET_BYTES - 2 * MOST_UNITS);
  expect(ended).toBe("done");
  expect(server.pushes().map((sent) => sent.map((one) => one.entity))).toEqual([[id]]);
  expect(await store.outbox.count()).toBe(0);
});

test("a job that is too much for one change is not saved", async () => {
  const result = await aJobOf(unitsOf(LARGEST_SHEET_BYTES + 60_000));

  expect(result).toEqual({ ok: false, code: "invalid", fields: { size: "too_long" } });
  expect(await store.outbox.count()).toBe(0);
});
