import { beforeEach, expect, test } from "vitest";
import { pull } from "../sync/pull";
import { push } from "../sync/push";
import { benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { recordReading } from "./recordReading";
import { resendMutation } from "./resendMutation";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change({ table: "job", id: "job-1", job_id: "job-1", fields: {} });
  visit("planned");
  await pull(ben.line);
});

function visit(state: "planned" | "closed" | "cancelled"): void {
  server.change({ table: "visit", id: "visit-1", job_id: "job-1", fields: { state } });
}

const READING = {
  jobId: "job-1",
  calculation: "barometer",
  systemId: null,
  unitId: null,
  stepId: null,
  visitId: "visit-1",
  inputs: {},
  entered: {},
  outputs: {},
  verdict: null,
  engineVersion: "1",
};

test("a reading of no step says in base_rev what this phone knew of its visit", async () => {
  await recordReading(READING);

  const [waiting] = await ben.store.outbox.toArray();
  const told = await ben.store.rows.get(["visit", "visit-1"]);
  expect(waiting?.base_rev).toBe(told?.rev);
});

test.each([
  ["closed", null],
  ["cancelled", null],
  ["planned", "visit-1"],
] as const)(
  "a reading sent again after its visit is %s goes on visit %s",
  async (state, visit_id) => {
    const { id } = (await recordReading(READING)) as { id: string };
    server.refuses.add(id);
    await push(ben.line);
    const [refused] = await ben.store.attention.toArray();
    visit(state);
    await pull(ben.line);

    const saved = await resendMutation(refused?.id ?? "", refused?.fields ?? {});

    expect(saved.ok).toBe(true);
    const [waiting] = await ben.store.outbox.toArray();
    expect(waiting?.fields).toMatchObject({ calculation: "barometer", visit_id });
    expect(await ben.store.attention.count()).toBe(0);
  },
);
