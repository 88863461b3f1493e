import { expect, test } from "vitest";
import { css } from "./tokens-source.mjs";

type Mode = "day" | "dark" | "sun";
type Tokens = Record<string, string>;

function blockOf(selector: string): string {
  const start = css.indexOf(`${selector} {`);
  return css.slice(start, css.indexOf("\n}", start));
}

function tokensOf(mode: Mode): Tokens {
  const tokens: Tokens = {};
  for (const [, name = "", light = "", dark = ""] of blockOf(":root").matchAll(
    /--([\w-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)/g,
  )) {
    tokens[name] = mode === "dark" ? dark : light;
  }
  if (mode === "sun") {
    for (const [, name = "", value = ""] of blockOf('[data-mode="sun"]').matchAll(
      /--([\w-]+): (#[0-9a-f]{6})/g,
    )) {
      tokens[name] = value;
    }
  }
  return tokens;
}

/** Relative luminance and contrast ratio, WCAG 2.2. */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}

const words = ["ink", "muted", "copper-deep", "slate", "good", "bad", "doubt"];
const grounds = ["paper", "raised", "sunk", "copper-wash", "good-wash", "bad-wash", "doubt-wash"];
const onFilled: [string, string][] = [
  ["on-copper", "copper-fill"],
  ["on-good", "good"],
  ["on-bad", "bad"],
  ["on-doubt", "doubt"],
  ["paper", "ink"],
  ["on-lens", "lens"],
  ["mark", "mark-edge"],
];
const drawn = ["copper", "slate", "edge", "good", "bad", "doubt"];

test.each(["day", "dark", "sun"] as const)("every word can be read at 7:1 in %s mode", (mode) => {
  const tokens = tokensOf(mode);
  const pairs = [
    ...words.flatMap((word) => grounds.map((ground) => [word, ground] as const)),
    ...onFilled,
  ];

  const tooFaint = pairs
    .map(
      ([word, ground]) =>
        [word, ground, contrast(tokens[word] ?? "", tokens[ground] ?? "")] as const,
    )
    .filter(([, , ratio]) => !(ratio >= 7));

  expect(pairs.length).toBeGreaterThan(50);
  expect(tooFaint).toEqual([]);
});

test.each(["day", "dark", "sun"] as const)(
  "every drawn thing stands out at 3:1 in %s mode",
  (mode) => {
    const tokens = tokensOf(mode);

    const tooFaint = drawn.filter(
      (name) => !(contrast(tokens[name] ?? "", tokens.paper ?? "") >= 3),
    );

    expect(tooFaint).toEqual([]);
  },
);

test("sun mode is pure black on white", () => {
  const sun = tokensOf("sun");

  expect(sun.ink).toBe("#000000");
  expect(sun.paper).toBe("#ffffff");
});
