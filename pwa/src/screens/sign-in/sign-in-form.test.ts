import { expect, test } from "vitest";
import "../../text/account";
import type { Session } from "../../local/session";
import { leadWords, problemsOf, wordsFor } from "./sign-in-form";

test("an empty form names both fields before anything is sent", () => {
  expect(problemsOf({ email: " ", password: "" })).toEqual({
    email: "sign_in.email_missing",
    password: "sign_in.password_missing",
  });
});

test("an address without an at sign is named as such", () => {
  expect(problemsOf({ email: "ana", password: "x" }).email).toBe("sign_in.email_shape");
});

test("no network says that signing in once needs a connection", () => {
  expect(wordsFor({ ok: false, code: "offline" })).toBe("sign_in.no_network");
});

test("whoever comes back is told what waits for them; a stranger to the phone learns nothing of it", () => {
  const ben = { as: "device", role: "technician", name: "Ben", company_name: "Invented" };
  const who = { ...ben, principal_id: "ben" } as Session;
  const told = (one: Session | null, waiting: number) =>
    leadWords(one, { waiting, photos_waiting: waiting });

  expect(told(who, 2)).toBe("4 things wait on this device. They are sent once you sign in, Ben.");
  expect(told(who, 0)).toBe("Sign in again, Ben. What is on this device stays as it is.");
  expect(told(null, 2)).toMatch(/^Once on this device/);
  expect(told({ ...who, as: "link" }, 2)).toMatch(/^Once on this device/);
});
