import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

const NAME = "virtual:engine";
const RESOLVED = `\0${NAME}`;
const ENGINE = "/server/flarenut/trade/";
const PACKER = fileURLToPath(new URL("../../../deploy/pack_engine.py", import.meta.url));
const OWN_PYTHON = fileURLToPath(new URL("../../../.venv/bin/python", import.meta.url));

/** The environment that deploy/setup makes; FLARENUT_PYTHON where there is another one. */
function python() {
  const given = process.env.FLARENUT_PYTHON;
  return given ?? (existsSync(OWN_PYTHON) ? OWN_PYTHON : "python3");
}

/** @returns {Record<string, string>} file name to text, as the phone gets them */
export function packEngine() {
  return JSON.parse(execFileSync(python(), ["-B", PACKER], { encoding: "utf8" }));
}

/**
 * The engine's sources, packed for the phone when the app is built: see deploy/pack_engine.py.
 * @returns {import("vite").Plugin}
 */
export function packedEngine() {
  return {
    name: "flarenut-engine",
    resolveId(id) {
      return id === NAME ? RESOLVED : undefined;
    },
    load(id) {
      if (id !== RESOLVED) {
        return undefined;
      }
      return `export const engine = ${JSON.stringify(packEngine())};`;
    },
    configureServer(server) {
      server.watcher.add(fileURLToPath(new URL(`../../..${ENGINE}`, import.meta.url)));
    },
    handleHotUpdate({ file, server }) {
      const loaded = server.moduleGraph.getModuleById(RESOLVED);
      return file.includes(ENGINE) && loaded ? [loaded] : undefined;
    },
  };
}
