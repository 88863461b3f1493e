import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { hasDevice } from "../local/device";
import { home } from "../local/home";
import { forgetLoss, lost } from "../local/lost";
import { enterSession, leaveSession, type Session, session } from "../local/session";
import { storeOf } from "../local/store";
import { uuid7 } from "../local/uuid7";
import { comeBack } from "./comeBack";

const BEN = uuid7();
const ana: Session = {
  as: "device",
  principal_id: uuid7(),
  role: "technician",
  name: "Ana",
  company_name: "Invented Cooling",
};
const link: Session = { ...ana, as: "link", role: "contractor", name: "Invented Pipes" };
let moved: string[];

/** The office still knows Ben by his cookie; what happens while it is asked. */
function theOfficeKnowsBen(meanwhile: () => Promise<void> = async () => undefined) {
  vi.stubGlobal("fetch", async () => {
    await meanwhile();
    return Response.json({
      person: { id: BEN, name: "Ben", email: "ben@invented.example", role: "technician" },
      company: { id: uuid7(), name: "Invented Cooling" },
      device_id: uuid7(),
    });
  });
}

beforeEach(() => {
  moved = [];
  vi.stubGlobal("location", {
    pathname: "/sign-in",
    replace: (path: string) => void moved.push(path),
  });
});

afterEach(async () => {
  await leaveSession();
  await home.sessions.clear();
  await forgetLoss();
  vi.unstubAllGlobals();
});

test("whoever the cookie stands for goes on without a password, and hears that it was cleared", async () => {
  theOfficeKnowsBen();

  await comeBack();

  expect(session.value?.principal_id).toBe(BEN);
  expect(await hasDevice(storeOf(BEN))).toBe(true);
  expect(lost.value).not.toBeNull();
  expect(moved).toEqual(["/"]);
});

test.each([
  ["who signed in by hand", ana],
  ["with a link", link],
])(
  "somebody %s while the office was asked stays, and nothing is told of the other",
  async (_, who) => {
    theOfficeKnowsBen(() => enterSession(who));

    await comeBack();

    expect(session.value?.name).toBe(who.name);
    expect((await home.sessions.toArray()).map((one) => one.name)).toEqual([who.name]);
    expect(lost.value).toBeNull();
  },
);

test("where another tab came back first, this one only begins with it", async () => {
  theOfficeKnowsBen(async () => {
    await home.sessions.put({ ...ana, used_at: "2026-11-27T09:00:00.000Z" });
  });

  await comeBack();

  expect((await home.sessions.toArray()).map((one) => one.name)).toEqual(["Ana"]);
  expect(session.value?.name).toBe("Ana");
  expect(moved).toEqual(["/"]);
});

test("what was noted before the first screen is not noted once more", async () => {
  theOfficeKnowsBen();
  vi.stubGlobal("localStorage", { getItem: () => "[]", setItem: () => undefined });

  await comeBack();

  expect(session.value?.principal_id).toBe(BEN);
  expect(lost.value).toBeNull();
});
