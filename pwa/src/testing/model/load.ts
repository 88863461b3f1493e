/** The bundled app as a function of its browser: called once for each tab or phone that runs it. */
import { readFileSync } from "node:fs";
import { compileFunction } from "node:vm";

/** The names under which the app finds its browser; all else is the same for every tab. */
const NAMES = [
  "globalThis",
  "self",
  "window",
  "document",
  "navigator",
  "location",
  "localStorage",
  "indexedDB",
  "IDBKeyRange",
  "fetch",
  "XMLHttpRequest",
  "setTimeout",
  "clearTimeout",
  "setInterval",
  "clearInterval",
  "Date",
  "Math",
  "crypto",
  "AbortSignal",
  "BroadcastChannel",
  "reportError",
  "addEventListener",
  "removeEventListener",
];

export function appFrom<App>(path: string): (browser: Record<string, unknown>) => App {
  const code = `${readFileSync(path, "utf8")}\nreturn phone;`;
  const make = compileFunction(code, NAMES, { filename: path });
  return (browser) => make(...NAMES.map((name) => browser[name])) as App;
}
