import { beforeEach, expect, test } from "vitest";
import { viewOf } from "../queries/job";
import { readMerged } from "../queries/rows";
import { pull } from "../sync/pull";
import { benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { cancelVisit } from "./cancelVisit";
import { setVisit } from "./setVisit";

let ana: Phone;

beforeEach(async () => {
  const server = new FakeServer();
  ana = await benWithAPhone(server);
  const fields = { state: "planned", person_id: "ben", person_name: "Ben", note: "Key" };
  server.change({ table: "job", id: "job-1", job_id: "job-1", fields: {} });
  server.change({ table: "visit", id: "visit-1", job_id: "job-1", fields });
  await pull(ana.line);
  await ana.store.meta.put({
    name: "people",
    value: [{ id: "dee", name: "Dee", role: "technician" }],
  });
});

async function shown() {
  return viewOf(await readMerged(ana.store, "job-1"))?.visits[0];
}

test("a visit that is given to somebody shows their name at once, and the rest as it was", async () => {
  await setVisit({ jobId: "job-1", visitId: "visit-1", changes: { person_id: "dee" } });

  expect(await shown()).toMatchObject({ person_id: "dee", person_name: "Dee", note: "Key" });
  expect((await ana.store.outbox.toArray())[0]?.fields).toEqual({ person_id: "dee" });
});

test("a visit that is called off says so at once, and keeps its note where no reason is given", async () => {
  await cancelVisit({ jobId: "job-1", visitId: "visit-1", note: "  " });
  const without = await shown();
  await cancelVisit({ jobId: "job-1", visitId: "visit-1", note: "The owner put it off" });

  expect(without).toMatchObject({ state: "cancelled", note: "Key", pending: true });
  expect(await shown()).toMatchObject({ note: "The owner put it off" });
});
