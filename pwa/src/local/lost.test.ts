import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { until } from "../testing/until";
import { adoptDevice, deviceIdOf } from "./device";
import { home, writeSetting } from "./home";
import { forgetLoss, lost, noteLoss, noteSignOut, noticeLoss, takeIn } from "./lost";
import { enterSession, leaveSession, loadSession, type Session } from "./session";
import { storeOf } from "./store";
import { countOthers, keepTally } from "./tally";
import { uuid7 } from "./uuid7";

function ben(): Session {
  const principal_id = uuid7();
  return { as: "device", principal_id, role: "technician", name: "Ben", company_name: "Invented" };
}

const beside = new Map<string, string>();

beforeEach(() => {
  beside.clear();
  vi.stubGlobal("localStorage", {
    getItem: (key: string) => beside.get(key) ?? null,
    setItem: (key: string, value: string) => void beside.set(key, value),
  });
});

/** By person, what is noted beside the stores. */
function counts(): Record<string, number> {
  const noted: { principal_id: string; changes: number }[] = JSON.parse(
    beside.get("flarenut-tally") ?? "[]",
  );
  return Object.fromEntries(noted.map((one) => [one.principal_id, one.changes]));
}

/** By name, what is told. */
const told = () => lost.value?.tallies.map(({ name, changes }) => [name, changes]);

/** The phone has noted so many changes of his that were not sent. */
async function counted(who: Session, changes: number): Promise<void> {
  const store = storeOf(who.principal_id);
  const stop = keepTally(store, { who });
  await store.outbox.clear();
  await store.outbox.bulkPut(
    Array.from({ length: changes }, (_, seq) => ({ id: uuid7(), seq }) as never),
  );
  await until(() => counts()[who.principal_id] === changes);
  stop();
}

async function aPhoneOf(who: Session): Promise<void> {
  await adoptDevice(storeOf(who.principal_id), uuid7());
  await enterSession(who);
}

/** As the browser does: of him, and of nobody else. */
async function cleared({ principal_id }: Session): Promise<void> {
  const store = storeOf(principal_id);
  await Promise.all(store.tables.map((table) => table.clear()));
}

afterEach(async () => {
  await leaveSession();
  await home.sessions.clear();
  await home.settings.clear();
  await forgetLoss();
});

/** As the browser does to make room: only the figures beside the stores are left. */
async function aBlankPhoneOf(who: Session, { changes }: { changes: number }): Promise<void> {
  await aPhoneOf(who);
  await counted(who, changes);
  await cleared(who);
  await home.sessions.clear();
  await leaveSession();
}

test("a phone that nobody has used yet has lost nothing", async () => {
  expect(await noticeLoss()).toBe("blank");

  expect(lost.value).toBeNull();
});

test("a store in use is not taken for a lost one", async () => {
  const who = ben();
  await adoptDevice(storeOf(who.principal_id), uuid7());
  await enterSession(who);

  expect(await noticeLoss()).toBe("known");

  expect(lost.value).toBeNull();
});

test("a store that was cleared under its person is noticed once and told until it is read", async () => {
  await enterSession(ben());

  await noticeLoss();
  await noticeLoss();
  expect(lost.value).not.toBeNull();
  await forgetLoss();
  await noticeLoss();

  expect(lost.value).toBeNull();
});

test("somebody who signed out has lost nothing", async () => {
  await writeSetting("device/ben@example.test", uuid7());

  expect(await noticeLoss()).toBe("known");

  expect(lost.value).toBeNull();
});

test("what was lost is told whole, however often the phone notes it and whatever it counts meanwhile", async () => {
  const who = ben();
  await aPhoneOf(who);
  await counted(who, 2);
  await cleared(who);

  await noticeLoss();
  await counted(who, 0);
  await noteLoss(who.principal_id);

  expect(lost.value?.tallies).toMatchObject([{ name: "Ben", changes: 2, photos: 0, drafts: 0 }]);
});

test("two losses that nobody has read are told as one, and what was read is not told again", async () => {
  const who = ben();
  await aPhoneOf(who);
  await counted(who, 2);
  await cleared(who);
  await noticeLoss();
  await counted(who, 3);
  await cleared(who);

  await noticeLoss();

  expect(told()).toEqual([["Ben", 5]]);
  await forgetLoss();
  await cleared(who);
  await noticeLoss();
  expect(told()).toEqual([["Ben", 0]]);
});

test("where nobody could say what the first loss took, the second does not say that it was nothing", async () => {
  const who = ben();
  await enterSession(who);
  await noticeLoss();
  await counted(who, 0);
  await cleared(who);

  await noticeLoss();

  expect(lost.value?.is_unknown).toBe(true);
});

test("a store that is cleared under the app is not counted: what was in it stays noted", async () => {
  const who = ben();
  await aPhoneOf(who);
  await counted(who, 2);
  const stop = keepTally(storeOf(who.principal_id), { who });
  await cleared(who);
  await storeOf(who.principal_id).drafts.put({ key: "typed on" } as never);
  await new Promise((resolve) => setTimeout(resolve, 50));
  stop();
  await expect(deviceIdOf(storeOf(who.principal_id))).rejects.toThrow("cleared");

  await noticeLoss();

  expect(told()).toEqual([["Ben", 2]]);
});

test("a loss that was read while nobody was signed in is not told at the next start", async () => {
  await aBlankPhoneOf(ben(), { changes: 2 });
  await noticeLoss();
  const before = told();
  await forgetLoss();

  expect(await noticeLoss()).toBe("blank");

  expect(before).toEqual([["Ben", 2]]);
  expect(lost.value).toBeNull();
});

test("everybody who has used the phone is told of, whoever was the last", async () => {
  const [first, second] = [ben(), { ...ben(), name: "Ana" }];
  await aPhoneOf(first);
  await counted(first, 2);
  await leaveSession();
  await aPhoneOf(second);
  await counted(second, 1);
  await home.sessions.clear();
  await leaveSession();

  await noticeLoss();

  expect(told()).toEqual([
    ["Ben", 2],
    ["Ana", 1],
  ]);
});

test("of two whose stores are on the phone only the one whose store is gone is told of", async () => {
  const [first, second] = [ben(), { ...ben(), name: "Ana" }];
  await aPhoneOf(second);
  await counted(second, 1);
  await aPhoneOf(first);
  await counted(first, 2);
  await cleared(first);

  await noticeLoss();

  expect(told()).toEqual([["Ben", 2]]);
  expect(counts()).toEqual({ [first.principal_id]: 0, [second.principal_id]: 1 });
});

test("what another's loss told is kept until it is read", async () => {
  const [first, second] = [ben(), { ...ben(), name: "Ana" }];
  await aPhoneOf(first);
  await counted(first, 2);
  await cleared(first);
  await noticeLoss();
  await aPhoneOf(second);
  await counted(second, 1);
  await cleared(second);

  await noticeLoss();

  expect(told()).toEqual([
    ["Ben", 2],
    ["Ana", 1],
  ]);
});

test("somebody who signed out with unsent work is told of when the phone is cleared after that", async () => {
  const who = ben();
  await aPhoneOf(who);
  await counted(who, 2);
  await noteSignOut();
  await leaveSession();
  await home.settings.clear();

  await noticeLoss();

  expect(told()).toEqual([["Ben", 2]]);
});

test("what one lost is told them still when another signs out, and the phone does not come back by itself", async () => {
  await aBlankPhoneOf(ben(), { changes: 2 });
  await noticeLoss();
  const isAsked = await noticeLoss();
  await aPhoneOf({ ...ben(), name: "Ana" });
  await noteSignOut();
  await home.sessions.clear();
  await leaveSession();

  expect(isAsked).toBe("blank");
  expect(await noticeLoss()).toBe("known");
  expect(told()).toEqual([["Ben", 2]]);
});

test("somebody who comes to a phone that has lost their store meanwhile is told, and nobody else", async () => {
  const [who, other] = [ben(), ben()];
  for (const [one, changes] of [
    [who, 2],
    [other, 0],
  ] as const) {
    await aPhoneOf(one);
    await counted(one, changes);
    await leaveSession();
    await cleared(one);
  }

  await takeIn(other.principal_id, uuid7());
  expect(lost.value).toBeNull();
  await takeIn(who.principal_id, uuid7());

  expect(told()).toEqual([["Ben", 2]]);
  await forgetLoss();
  await cleared(who);
  await takeIn(who.principal_id, uuid7());
  expect(lost.value).toBeNull();
});

test("what an older app noted and told is read still", async () => {
  const who = ben();
  const tally = { principal_id: who.principal_id, name: "Ben", changes: 2, photos: 0, drafts: 0 };
  beside.set("flarenut-tally", JSON.stringify({ ...tally, at: "2026-11-27T08:00:00.000Z" }));
  await noticeLoss();
  const fromBeside = told();
  await writeSetting("lost", { at: "2026-11-27T08:00:00.000Z", tally });

  await noticeLoss();

  expect([fromBeside, told()]).toEqual([[["Ben", 2]], [["Ben", 2]]]);
  await writeSetting("lost", { at: "2026-11-27T08:00:00.000Z" });
  await noticeLoss();
  expect(lost.value?.is_unknown).toBe(true);
});

test("what was sent with no page open, or moved, is not told as lost", async () => {
  const [who, other] = [ben(), { ...ben(), name: "Invented Pipes", as: "link" as const }];
  await aPhoneOf(other);
  await counted(other, 2);
  await storeOf(other.principal_id).outbox.clear();
  await aPhoneOf(who);

  await countOthers(who);

  expect(counts()[other.principal_id]).toBe(0);
});

test("a first link on a phone that knows its person has lost nothing", async () => {
  const who = ben();
  await aPhoneOf(who);
  await counted(who, 2);
  await loadSession("/answer");

  expect(await noticeLoss()).toBe("known");

  expect(lost.value).toBeNull();
});
