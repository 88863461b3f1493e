import { expect, test } from "vitest";
import { compileMessages, readMessages } from "../build/text.mjs";
import { hasText, t } from ".";

test("every sentence compiles", () => {
  const written = Object.keys(readMessages("en"));

  expect(written.length).toBeGreaterThan(50);
  expect(Object.keys(compileMessages("en"))).toEqual(written);
});

test("values stand in their sentence", () => {
  expect(t("app.failed_what", { what: "no unit" })).toBe("What happened: no unit");
});

test("a code without a sentence is known to have none", () => {
  expect(hasText("app.failed")).toBe(true);
  expect(hasText("no.such.code")).toBe(false);
});

test("no sentence is empty", () => {
  const empty = Object.entries(readMessages("en")).filter(([, words]) => words.trim() === "");

  expect(empty).toEqual([]);
});
