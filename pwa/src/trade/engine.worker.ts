/**
 * Runs the engine: the very files of the server, packed, in MicroPython, off the main thread.
 * Needs no signal: they are part of this script and the runtime is in the offline install.
 */

import { engine } from "virtual:engine";
import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";
import wasmUrl from "@micropython/micropython-webassembly-pyscript/micropython.wasm?url";
import type { Answer, Question } from "./messages";

/**
 * Where the heap starts; the runtime lets it grow. Measured with jobs of 22, 120 and 400 units
 * and starts of 1 to 32 MB: all work, none is faster, so this is small.
 */
const HEAP_BYTES = 4 * 1024 * 1024;
/** Frames of Python; the default of 2,048 is enough today and leaves little to spare. */
const STACK_WORDS = 8 * 1024;

type Entry = {
  VERSION: string;
  compute(name: string, text: string): string;
};

async function start(): Promise<Entry> {
  const python = await loadMicroPython({
    url: wasmUrl,
    heapsize: HEAP_BYTES,
    pystack: STACK_WORDS,
  });
  python.FS.mkdir("/lib");
  python.FS.mkdir("/lib/trade");
  for (const [name, text] of Object.entries(engine)) {
    python.FS.writeFile(`/lib/trade/${name}`, text);
  }
  python.runPython("import sys\nsys.path.append('/lib')\nfrom trade import entry");
  return python.globals.get("entry") as Entry;
}

const starting = start();

async function answer({ id, name, text }: Question): Promise<Answer> {
  try {
    const entry = await starting;
    const told = name === null ? entry.VERSION : entry.compute(name, text);
    return { id, ok: true, text: told };
  } catch (problem) {
    // The first lines say what failed; the rest is the runtime's own script.
    return { id, ok: false, message: String(problem).slice(0, 500) };
  }
}

self.addEventListener("message", (event: MessageEvent<Question>) => {
  answer(event.data).then((told) => self.postMessage(told));
});
