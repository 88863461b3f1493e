/**
 * Bundles the app's own code and the program that drives it: build.mjs FOLDER. With a fault, as JSON, only
 * the app, and with that fault in it: build.mjs FOLDER '{"file": ..., "before": ..., "after": ...}'
 */
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";

const here = dirname(fileURLToPath(import.meta.url));
const [folder = ".", fault] = process.argv.slice(2);
const { version } = JSON.parse(readFileSync(join(here, "../../../package.json"), "utf8"));

/** @param {import("rolldown").InputOptions} input @param {import("rolldown").OutputOptions} output */
async function bundle(input, output) {
  const made = await rolldown({ logLevel: "warn", ...input });
  await made.write({ codeSplitting: false, ...output });
  await made.close();
}

/** The text must be there once: a fault that is not made proves nothing. */
function putIn({ file, before, after }) {
  let isIn = false;
  const transform = (code, id) => {
    if (!id.endsWith(file)) {
      return null;
    }
    if (code.split(before).length !== 2) {
      throw new Error(`${file} does not say once: ${before}`);
    }
    isIn = true;
    return code.replace(before, after);
  };
  const buildEnd = () => {
    if (!isIn) {
      throw new Error(`${file} is not in the app`);
    }
  };
  return { name: "fault", transform: { order: "pre", handler: transform }, buildEnd };
}

await bundle(
  {
    input: join(here, "phone.ts"),
    platform: "browser",
    plugins: fault ? [putIn(JSON.parse(fault))] : [],
    transform: {
      // Dexie puts a Promise of its own in the place of the tab's while a transaction is under way.
      define: { __APP_VERSION__: JSON.stringify(version), Promise: "globalThis.Promise" },
    },
  },
  {
    file: join(folder, fault ? "phone_with_a_fault.js" : "phone.js"),
    format: "iife",
    name: "phone",
  },
);
if (!fault) {
  await bundle(
    { input: join(here, "run.ts"), platform: "node" },
    { file: join(folder, "run.mjs"), format: "esm" },
  );
}
