/** Bundles the app's own code, and the program that measures it under Node: build.mjs FOLDER. */
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";

const here = dirname(fileURLToPath(import.meta.url));
const [folder = "."] = process.argv.slice(2);
const { version } = JSON.parse(readFileSync(join(here, "../../../package.json"), "utf8"));

/** @param {import("rolldown").InputOptions} input @param {import("rolldown").OutputOptions} output */
async function bundle(input, output) {
  const made = await rolldown({ logLevel: "warn", ...input });
  await made.write({ codeSplitting: false, ...output });
  await made.close();
}

const __APP_VERSION__ = JSON.stringify(version);
const phone = { input: join(here, "phone.ts"), platform: "browser" };
await bundle(
  // Dexie puts a Promise of its own in the place of its phone's while a transaction is under way.
  { ...phone, transform: { define: { __APP_VERSION__, Promise: "globalThis.Promise" } } },
  { file: join(folder, "phone.js"), format: "iife", name: "phone" },
);
await bundle(
  { input: join(here, "run.ts"), platform: "node" },
  { file: join(folder, "run.mjs"), format: "esm" },
);
