import { beforeEach, expect, test } from "vitest";
import { until } from "../testing/until";
import { home } from "./home";
import {
  enterSession,
  leaveSession,
  loadSession,
  mode,
  type Session,
  session,
  setMode,
  watchSession,
} from "./session";

const ben: Session = {
  as: "device",
  principal_id: "ben",
  role: "technician",
  name: "Ben",
  company_name: "Invented Cooling",
};
const link: Session = { ...ben, as: "link", principal_id: "link-1", role: "contractor" };

beforeEach(async () => {
  await Promise.all(home.tables.map((table) => table.clear()));
});

test("a phone that was closed and opened again knows who is signed in", async () => {
  await enterSession(ben);

  await loadSession("/");

  expect(session.value).toMatchObject(ben);
});

test("a contractor's link on a technician's phone opens the link's pages only", async () => {
  await enterSession(ben);
  await enterSession(link);

  await loadSession("/");
  const onStart = session.value?.principal_id;
  await loadSession("/answer/issue/1");

  expect(onStart).toBe("ben");
  expect(session.value?.principal_id).toBe("link-1");
});

test("of several links the one opened last is shown", async () => {
  await home.sessions.put({ ...link, used_at: "2026-11-25T09:00:00.000Z" });
  await home.sessions.put({ ...link, principal_id: "link-2", used_at: "2026-11-25T10:00:00.000Z" });

  await loadSession("/answer");

  expect(session.value?.principal_id).toBe("link-2");
});

test("signing out forgets the person and not the links", async () => {
  await enterSession(link);
  await enterSession(ben);

  await leaveSession();
  await loadSession("/you");

  expect(session.value?.principal_id).toBe("link-1");
});

test("a tab notices that somebody else signed in from another one", async () => {
  await enterSession(ben);
  watchSession(() => "/job/1");

  await home.transaction("rw", home.sessions, async () => {
    await home.sessions.clear();
    await home.sessions.put({ ...ben, principal_id: "ana", used_at: "2026-11-25T09:00:00.000Z" });
  });

  await until(() => session.value?.principal_id === "ana");
});

test("the mode is kept", async () => {
  await setMode("sun");

  await loadSession("/");

  expect(mode.value).toBe("sun");
});
