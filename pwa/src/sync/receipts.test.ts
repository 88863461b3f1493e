/** How long receipts live (rule 13, case 14 beside case 6): by the server's clock, whatever the phone's says. */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { anIssue, benWithAPhone, idOf, type Phone } from "../testing/phone";
import { FakeServer, step } from "../testing/server";
import { exchangeWords } from "./round";

const DAY_MS = 86_400_000;
const TODAY_MS = Date.UTC(2026, 10, 25, 9);

let server: FakeServer;
let ben: Phone;
/** What the server writes on its answers; nothing when it, or what stands before it, writes none. */
let serverDate: number | null;

beforeEach(async () => {
  vi.useFakeTimers({ toFake: ["Date"], now: TODAY_MS });
  serverDate = TODAY_MS;
  server = new FakeServer();
  ben = await benWithAPhone(server);
  ben.line.wire.fetch = async (...asked) => dated(await server.fetch(...asked));
  server.change(step("s1"));
  await exchangeWords(ben.line);
});
afterEach(() => vi.useRealTimers());

function dated(answer: Response): Response {
  if (serverDate !== null) {
    answer.headers.set("Date", new Date(serverDate).toUTCString());
  }
  return answer;
}

/** Everything that the server knows, as of now; put back later, it is last night's. */
function backUp() {
  const { rows, heads, lanes, taken } = server;
  const kept = structuredClone({ rows, heads, lanes, taken });
  return () => Object.assign(server, kept, { epoch: server.epoch + 1 });
}

async function send(words: string): Promise<string> {
  const id = idOf(await anIssue({ jobId: "job-1", words }));
  await exchangeWords(ben.line);
  return id;
}

const issues = () => server.rows.filter(({ table }) => table === "issue").map(({ id }) => id);
const kept = () => ben.store.receipts.count();

test.each([
  ["is a year ahead", [0, 366]],
  ["was a year behind and is put right", [-366, 0]],
  ["goes a year ahead, and an hour back", [366, 366 - 1 / 24]],
])(
  "a phone whose clock %s offers a restored server what it lost, in its order",
  async (_, days) => {
    const restore = backUp();
    const sent: string[] = [];
    for (const day of days) {
      vi.setSystemTime(TODAY_MS + day * DAY_MS);
      sent.push(await send(`day ${day}`));
    }
    restore();

    await exchangeWords(ben.line);
    await exchangeWords(ben.line);

    expect(issues()).toEqual(sent);
    expect(await ben.store.outbox.count()).toBe(0);
  },
);

test("while no answer says what day it is, nothing is forgotten", async () => {
  await send("kept");
  serverDate = null;
  vi.resetModules();
  const fresh = await import("./receipts");
  vi.setSystemTime(TODAY_MS + 366 * DAY_MS);

  await fresh.pruneReceipts(ben.store);

  expect(await kept()).toBe(1);
});

test("30 days on the server's clock a receipt goes, also from a phone whose clock stands still", async () => {
  await send("old");
  serverDate = TODAY_MS + 29 * DAY_MS;
  await send("young");

  serverDate = TODAY_MS + 31 * DAY_MS;
  await exchangeWords(ben.line);

  expect((await ben.store.receipts.toArray()).map((one) => one.mutation.fields)).toMatchObject([
    { words: "young" },
  ]);
});
