import { afterEach, expect, test } from "vitest";
import { adoptDevice } from "./device";
import { home, writeSetting } from "./home";
import { forgetLoss, lost, noticeLoss } from "./lost";
import { enterSession, leaveSession, type Session } from "./session";
import { storeOf } from "./store";
import { uuid7 } from "./uuid7";

function ben(): Session {
  const principal_id = uuid7();
  return { as: "device", principal_id, role: "technician", name: "Ben", company_name: "Invented" };
}

afterEach(async () => {
  await leaveSession();
  await home.settings.clear();
  await forgetLoss();
});

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
