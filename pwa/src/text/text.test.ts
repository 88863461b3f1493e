import { expect, test } from "vitest";
import { compileMessages, PARTS, readMessages } from "../build/text.mjs";
import { hasText, t } from ".";
import "./checks";

test("every sentence compiles", () => {
  const written = Object.keys(readMessages("en"));

  expect(written.length).toBeGreaterThan(50);
  expect(PARTS.flatMap((part) => Object.keys(compileMessages("en", part)))).toEqual(written);
});

test("values stand in their sentence", () => {
  expect(t("app.failed_what", { what: "no unit" })).toBe("What happened: no unit");
});

test("sentences of the checks come with their own file", () => {
  expect(t("checks.title")).toBe("Checks");
});

test("a code without a sentence is known to have none", () => {
  expect(hasText("app.failed")).toBe(true);
  expect(hasText("no.such.code")).toBe(false);
});

test("no sentence is empty", () => {
  const empty = Object.entries(readMessages("en")).filter(([, words]) => words.trim() === "");

  expect(empty).toEqual([]);
});
