// Runs engine calls in MicroPython, as the phone does.
// Standard input: one JSON line per call, {name, text}. Standard output: one JSON line per
// answer, {text, ms}. The first argument is the folder of the engine's sources, the second
// the folder of the MicroPython package.
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [sources, runtime] = process.argv.slice(2);
const { loadMicroPython } = await import(pathToFileURL(join(runtime, "micropython.mjs")).href);

// The same heap and stack as in pwa/src/trade/engine.worker.ts.
const python = await loadMicroPython({ heapsize: 4 * 1024 * 1024, pystack: 8 * 1024 });
python.FS.mkdir("/lib");
python.FS.mkdir("/lib/trade");
for (const file of readdirSync(sources).filter((name) => name.endsWith(".py"))) {
  python.FS.writeFile(`/lib/trade/${file}`, readFileSync(join(sources, file), "utf8"));
}
python.runPython("import sys\nsys.path.append('/lib')\nfrom trade import entry");
const entry = python.globals.get("entry");

const lines = readFileSync(0, "utf8").split("\n").filter(Boolean);
for (const line of lines) {
  const call = JSON.parse(line);
  const started = performance.now();
  const text = call.name === "--describe" ? entry.describe() : entry.compute(call.name, call.text);
  process.stdout.write(`${JSON.stringify({ text, ms: performance.now() - started })}\n`);
}
