/** A sentence whose part was not fetched would show as its bare key: what each screen names must come with it. */
import { expect, test } from "vitest";
import { compileMessages, PARTS } from "../build/text.mjs";

const SOURCES: Record<string, string> = import.meta.glob(
  ["../**/*.{ts,tsx}", "!../**/*.test.*", "!../testing/**", "!./keys.ts"],
  { query: "?raw", import: "default", eager: true },
);
/** From a file within src, the path there of what it imports. */
function resolved(from: string, path: string): string {
  return new URL(path, `file:///${from}`).pathname.slice(1);
}

const sources = new Map(
  Object.entries(SOURCES).map(([path, text]) => [resolved("text/", path), text]),
);
const partOf = new Map(
  PARTS.flatMap((part) =>
    Object.keys(compileMessages("en", part)).map((key) => [key, part] as const),
  ),
);
const STATIC = /^(?:import|export)\s(?!type\b)(?:[^"';]*?\sfrom\s)?\s*"(\.[^"]*)"/gm;
const LATER = /\bimport\("(\.[^"]+)"\)/g;
const NAMED = /"([a-z_\d]+(?:\.[\w[\]]+)+)"/g;
const BEGUN = /`([a-z_\d]+\.[\w.]*)\$\{/g;

/** None for a style sheet, and for a worker, which shows nothing. */
function filesOf(from: string, path: string): string[] {
  if (/\.css$|\?worker/.test(path)) return [];
  const bare = resolved(from, path).replace(/\/$/, "");
  const found = ["", ".ts", ".tsx", "/index.ts", "/index.tsx"].find((end) =>
    sources.has(bare + end),
  );
  if (found === undefined) throw new Error(`${from} imports ${path}, which is not there`);
  return [bare + found];
}

function imports(file: string, how: RegExp): string[] {
  const text = sources.get(file) ?? "";
  return [...text.matchAll(how)].flatMap(([, path = ""]) => filesOf(file, path));
}

function reached(start: string, next: (file: string) => string[]): Set<string> {
  const found = new Set<string>();
  const waiting = [start];
  for (let file = waiting.pop(); file; file = waiting.pop()) {
    if (!found.has(file)) {
      found.add(file);
      waiting.push(...next(file));
    }
  }
  return found;
}

/** Which part a sentence is of whose key is put together: where several begin like it, nobody can say here. */
function partBegunBy(start: string): string | undefined {
  const parts = new Set(
    [...partOf].flatMap(([key, part]) => (key.startsWith(start) ? [part] : [])),
  );
  return parts.size === 1 ? [...parts][0] : undefined;
}

/** Every part of its own of which the file names a sentence, with one that it names. */
function partsNamed(file: string): Map<string, string> {
  const text = sources.get(file) ?? "";
  const named = [
    ...[...text.matchAll(NAMED)].map(
      ([, key = ""]) => [partOf.get(key) ?? partBegunBy(`${key}.`), key] as const,
    ),
    ...[...text.matchAll(BEGUN)].map(([, start = ""]) => [partBegunBy(start), start] as const),
  ];
  return new Map(named.flatMap(([part, key]) => (part ? [[part, key]] : [])));
}

const screens = new Set(imports("app.tsx", LATER));

/** What comes with it later comes to where it is already open; another screen brings its own. */
function shownWith(screen: string): Set<string> {
  const later = (file: string) => (file === "app.tsx" ? [] : imports(file, LATER));
  return reached(screen, (file) =>
    [...imports(file, STATIC), ...later(file)].filter((one) => !screens.has(one)),
  );
}

test.each(["main.tsx", ...screens])("%s brings the sentences that it names", (screen) => {
  const brought = [...reached(screen, (file) => imports(file, STATIC))];
  const missing = [...shownWith(screen)].flatMap((file) =>
    [...partsNamed(file)]
      .filter(([part]) => !brought.includes(`text/${part}.ts`))
      .map(([part, key]) => `${file} names ${key}: text/${part}`),
  );

  expect(missing).toEqual([]);
});

test("the screens are found, and each part has one that names it", () => {
  const named = [...screens].flatMap((one) => [...shownWith(one)]);

  expect(screens.size).toBeGreaterThan(20);
  expect(new Set(named.flatMap((file) => [...partsNamed(file).keys()]))).toEqual(
    new Set(PARTS.filter(Boolean)),
  );
});
