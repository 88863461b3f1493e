import { beforeEach, expect, test } from "vitest";
import { asDone } from "../actions/order-done";
import { resendMutation } from "../actions/resendMutation";
import { bytesIn } from "../local/bytes";
import { deviceIdOf } from "../local/device";
import { anIssue, aPhoto, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, json } from "../testing/server";
import { fillGap } from "./lanes";
import { push } from "./push";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
});

const waiting = () => ben.store.outbox.count();

test("each mutation leaves the outbox with its receipt, and stays visible", async () => {
  const id = idOf(await anIssue({ jobId: "job-1" }));

  const ended = await push(ben.line);

  expect(ended).toBe("done");
  expect(await waiting()).toBe(0);
  const [receipt] = await ben.store.receipts.toArray();
  expect(receipt).toMatchObject({ outcome: "applied", rev: 1, mutation: { entity: id } });
  expect((await ben.store.overlay.toArray()).every((change) => change.rev === 1)).toBe(true);
  expect((await ben.store.meta.get("last_sent_at"))?.value).toBeTypeOf("string");
});

test("requests say who asks, and carry the device, not the job, in each mutation", async () => {
  await anIssue({ jobId: "job-1" });

  await push(ben.line);

  const [asked] = server.log;
  expect(asked?.headers.get("X-Flarenut-As")).toBe("device");
  expect(asked?.body["device_id"]).toBe(await deviceIdOf(ben.store));
  expect(server.pushes()[0]?.[0]).not.toHaveProperty("job_id");
});

test("an answer lost on its way is asked for again: nothing twice, nothing lost", async () => {
  await anIssue({ jobId: "job-1" });
  let lost = 0;
  server.after = () => {
    lost += 1;
    return lost <= 20 ? "cut" : undefined;
  };

  const ends: string[] = [];
  for (let tries = 0; tries < 21; tries += 1) {
    ends.push(await push(ben.line));
  }

  expect(ends.slice(0, 20)).toEqual(Array(20).fill("later"));
  expect(ends[20]).toBe("done");
  expect(server.rows).toHaveLength(1);
  const bodies = new Set(server.pushes().map((sent) => JSON.stringify(sent)));
  expect(bodies.size).toBe(1);
});

test("a refusal is told with everything that was meant, and the lane goes on", async () => {
  const bad = idOf(await anIssue({ jobId: "job-1", words: "refused words" }));
  server.refuses.add(bad);
  await anIssue({ jobId: "job-1" });

  await push(ben.line);

  expect(await waiting()).toBe(0);
  const [item] = await ben.store.attention.toArray();
  expect(item).toMatchObject({
    entity: bad,
    outcome: "refused",
    code: "a_rule",
    message: "A rule says no.",
    problem_fields: { words: "too bad" },
    fields: { words: "refused words" },
  });
  expect(await ben.store.overlay.where({ table: "issue", id: bad }).count()).toBe(0);
  expect(server.rows).toHaveLength(1);
});

test("a refused issue is mended and sent again together with its photo", async () => {
  const bad = idOf(await anIssue({ jobId: "job-1", photo: aPhoto() }));
  const photo = (await ben.store.uploads.toCollection().primaryKeys())[0] ?? "";
  server.refuses.add(bad).add(photo);
  await push(ben.line);
  server.refuses.clear();
  const items = await ben.store.attention.toArray();
  const issue = items.find((item) => item.type === "issue.raise");

  await resendMutation(issue?.id ?? "", { ...issue?.fields, words: "mended words" });
  await push(ben.line);

  expect(items).toHaveLength(2);
  expect(await ben.store.attention.count()).toBe(0);
  expect(server.rows.map((row) => row.id)).toEqual([bad, photo]);
  expect(server.rows[0]?.fields).toMatchObject({ words: "mended words" });
});

test("signed out keeps everything", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  server.before = () => json({ error: { code: "session_ended" } }, 401);

  const ended = await push(ben.line);

  expect(ended).toBe("signed_out");
  expect(await waiting()).toBe(2);
  expect(await ben.store.photos_full.count()).toBe(1);
});

test.each([500, 502, 503, 429])("%i acknowledges nothing", async (status) => {
  await anIssue({ jobId: "job-1" });
  server.before = () => new Response("<html>busy</html>", { status });

  expect(await push(ben.line)).toBe("later");
  expect(await waiting()).toBe(1);
});

test("somebody else's sign-in page is not taken for an answer", async () => {
  await anIssue({ jobId: "job-1" });
  server.before = () => new Response("<html>welcome to the hotel</html>", { status: 200 });

  expect(await push(ben.line)).toBe("later");
  expect(await waiting()).toBe(1);
});

test("at most 100 go in one request", async () => {
  for (let count = 0; count < 130; count += 1) {
    await anIssue({ jobId: "job-1" });
  }

  await push(ben.line);

  expect(server.pushes().map((sent) => sent.length)).toEqual([100, 30]);
  expect(await waiting()).toBe(0);
});

test("several changes are never more than a poor line takes up in good time, and a larger one goes alone", async () => {
  const kilobytes = [10, 10, 10, 10, 10, 10, 10, 10, 900, 10, 30, 50];
  for (const kB of kilobytes) {
    await anIssue({ jobId: "job-1", words: "ä".repeat(kB * 500) });
  }

  await push(ben.line);

  expect(server.pushes().map((sent) => sent.length)).toEqual([7, 1, 1, 2, 1]);
  const sizes = server.log.map((asked) => bytesIn(JSON.stringify(asked.body)));
  expect(sizes.filter((bytes) => bytes > 77_000)).toHaveLength(1);
  expect(Math.max(...sizes)).toBeLessThan(1_000_000);
});

test("too large is sent in halves", async () => {
  for (let count = 0; count < 8; count += 1) {
    await anIssue({ jobId: "job-1" });
  }
  server.before = () => ((server.pushes().at(-1)?.length ?? 0) > 3 ? json({}, 413) : undefined);

  const ended = await push(ben.line);

  expect(ended).toBe("done");
  expect(server.pushes().map((sent) => sent.length)).toEqual([8, 4, 2, 2, 2, 2]);
});

const said = (code: string) => json({ error: { code, message: "No.", fields: {} } }, 422);
const notOurs = [
  json({}, 413),
  json({ message: "Bad Request" }, 400),
  json({ error: { code: 422, message: "Unprocessable" } }, 422),
  new Response("<html>too large</html>", { status: 413 }),
];

test.each(notOurs)("a proxy that refuses all there is moves nothing into cards", async (answer) => {
  for (const jobId of ["job-1", "job-1", "job-1", "job-2"]) await anIssue({ jobId });
  server.before = () => answer.clone();

  const ended = [await push(ben.line), await push(ben.line), await push(ben.line)];
  server.before = () => undefined;

  expect(ended).not.toContain("done");
  expect(await ben.store.attention.count()).toBe(0);
  expect(await waiting()).toBe(4);
  expect(await push(ben.line)).toBe("done");
  expect(await waiting()).toBe(0);
});

test("a bad deployment that cannot read anything gets at most one card a round, the first in the second", async () => {
  for (let count = 0; count < 4; count += 1) await anIssue({ jobId: "job-1" });
  server.before = () => said("invalid");

  const cards: number[] = [];
  for (let round = 0; round < 3; round += 1) {
    await push(ben.line);
    cards.push(await ben.store.attention.count());
  }

  expect(cards).toEqual([0, 1, 2]);
  expect(await waiting()).toBe(2);
});

test("another reason in the next round is no second time", async () => {
  await anIssue({ jobId: "job-1" });
  for (const code of ["invalid", "too_large", "invalid"]) {
    server.before = () => said(code);
    expect(await push(ben.line)).toBe("partly");
  }

  expect(await ben.store.attention.count()).toBe(0);
});

test("what cannot be read keeps its lane for a round and the others not at all", async () => {
  await anIssue({ jobId: "job-1", words: "poison" });
  await anIssue({ jobId: "job-1" });
  for (let count = 0; count < 3; count += 1) await anIssue({ jobId: "job-2" });
  server.before = ({ body }) =>
    JSON.stringify(body).includes("poison") ? said("invalid") : undefined;

  const ended = await push(ben.line);

  expect(ended).toBe("partly");
  expect((await ben.store.outbox.toArray()).map((one) => one.job_id)).toEqual(["job-1", "job-1"]);
});

test("one mutation that no request can carry stops its lane until the next round and no longer", async () => {
  await anIssue({ jobId: "job-1", words: "poison" });
  await anIssue({ jobId: "job-1", words: "good" });
  server.before = ({ body }) => (JSON.stringify(body).includes("poison") ? said("bad") : undefined);

  const ended = [await push(ben.line), await push(ben.line)];

  expect(ended).toEqual(["partly", "done"]);
  expect(await ben.store.attention.toArray()).toMatchObject([
    { fields: { words: "poison" }, outcome: "set_aside", code: "bad" },
  ]);
  expect(server.rows.map((row) => row.fields)).toMatchObject([{ words: "good" }]);
  expect(server.lanes.get(`${await deviceIdOf(ben.store)}/job-1`)).toBe(1);
});

test("what no request can carry was done before what moves up into its place", async () => {
  const poison = idOf(await anIssue({ jobId: "job-1", words: "poison" }));
  const refused = idOf(await anIssue({ jobId: "job-1", words: "refused" }));
  server.refuses.add(refused);
  server.before = ({ body }) => (JSON.stringify(body).includes("poison") ? said("bad") : undefined);

  await push(ben.line);
  await push(ben.line);

  const cards = await ben.store.attention.toArray();
  const backwards = cards.map((card) => ({ ...card, id: card.entity === poison ? "m2" : "m1" }));
  expect(asDone(backwards).map(({ entity }) => entity)).toEqual([poison, refused]);
});

test("a job that is held does not block another", async () => {
  await anIssue({ jobId: "job-1" });
  await anIssue({ jobId: "job-2" });
  server.busy.add("job-1");

  const ended = await push(ben.line);

  expect(ended).toBe("partly");
  expect(await ben.store.outbox.toArray()).toMatchObject([{ job_id: "job-1" }]);
});

test("a cloned phone becomes a new device and renumbers, keeping the ids", async () => {
  await anIssue({ jobId: "job-1" });
  await push(ben.line);
  const old = await deviceIdOf(ben.store);
  await anIssue({ jobId: "job-1" });
  await anIssue({ jobId: "job-1" });
  await anIssue({ jobId: "job-2" });
  const ids = (await ben.store.outbox.orderBy("[job_id+seq]").toArray()).map((one) => one.id);
  server.foreign.add(old);

  const ended = await push(ben.line);

  expect(ended).toBe("done");
  expect(await deviceIdOf(ben.store)).not.toBe(old);
  const again = server.pushes().at(-1) ?? [];
  expect(again.map((one) => one.id)).toEqual(ids);
  expect(again.map((one) => one.seq)).toEqual([1, 2, 1]);
  await anIssue({ jobId: "job-1" });
  expect(await ben.store.outbox.toCollection().first()).toMatchObject({ seq: 3 });
});

test("work is never sent under the session of somebody who signed in meanwhile", async () => {
  await anIssue({ jobId: "job-1" });
  const mine = await deviceIdOf(ben.store);
  server.foreign.add(mine);
  server.cookie = "ana";

  const ended = await push(ben.line);

  expect(ended).toBe("signed_out");
  expect(await deviceIdOf(ben.store)).toBe(mine);
  expect(await waiting()).toBe(1);
  expect(server.rows).toEqual([]);
});

test("a server restored from a backup is offered again what it had acknowledged", async () => {
  await anIssue({ jobId: "job-1", words: "first" });
  await push(ben.line);
  const backup = structuredClone({ rows: server.rows, heads: server.heads, lanes: server.lanes });
  await anIssue({ jobId: "job-1", words: "second" });
  await push(ben.line);
  Object.assign(server, backup, { epoch: 2 });
  server.taken = new Map([...server.taken].slice(0, 1));
  await anIssue({ jobId: "job-1", words: "third" });

  await push(ben.line);

  const words = server.rows.map((row) => Reflect.get(row.fields, "words"));
  expect(words).toEqual(["first", "second", "third"]);
});

test("a gap that nothing can fill moves the unsent up", async () => {
  await ben.store.lanes.put({ job_id: "job-1", last_seq: 7 });
  await anIssue({ jobId: "job-1" });

  const moved = await fillGap(ben.store, {
    job_id: "job-1",
    last_seq: 0,
    device_id: await deviceIdOf(ben.store),
  });

  expect(moved).toBe(true);
  expect(await ben.store.outbox.toArray()).toMatchObject([{ seq: 1 }]);
});
