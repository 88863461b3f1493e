import { expect, test } from "vitest";
import { problemsOf, wordsFor } from "./sign-in-form";

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
