// Runs after every build: writes a .br and a .gz beside each text asset for the server, and fails
// the build when the technician's first page or the whole offline install has grown beyond what a
// phone on a poor line should have to fetch. A phone fetches the .br: every browser that can install
// an app takes it over https. The .gz is for all else.
import { readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { extname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import { packEngine } from "./engine_plugin.mjs";

const DIST = fileURLToPath(new URL("../../dist/", import.meta.url));
const START_JS_KB = 90;
const INSTALL_KB = 600;
const ENGINE_KB = 120;
const KB = 1024;
const PACKED = new Set([".br", ".gz"]);
const TEXTS = new Set([
  ".js",
  ".mjs",
  ".css",
  ".html",
  ".json",
  ".svg",
  ".wasm",
  ".webmanifest",
  ".py",
  ".txt",
]);

/** @param {string} folder @returns {string[]} */
function filesIn(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !PACKED.has(extname(entry.name)))
    .map((entry) => relative(DIST, join(entry.parentPath, entry.name)));
}

/** @param {string} file @returns {number} bytes on the line */
function sizeOf(file) {
  const path = join(DIST, file);
  if (!TEXTS.has(extname(file))) {
    return statSync(path).size;
  }
  const whole = readFileSync(path);
  const packed = brotliCompressSync(whole, {
    params: { [constants.BROTLI_PARAM_SIZE_HINT]: whole.length },
  });
  writeFileSync(`${path}.br`, packed);
  writeFileSync(`${path}.gz`, gzipSync(whole, { level: 9 }));
  return packed.length;
}

/** The chunks that are fetched before the technician's list of jobs shows. */
function startFiles() {
  const manifest = JSON.parse(readFileSync(join(DIST, ".vite/manifest.json"), "utf8"));
  const files = new Set();
  /** @param {string} key */
  const take = (key) => {
    const chunk = manifest[key];
    if (chunk && !files.has(chunk.file)) {
      files.add(chunk.file);
      for (const next of chunk.imports ?? []) {
        take(next);
      }
    }
  };
  for (const key of ["index.html", "src/screens/start/index.tsx"]) {
    if (!manifest[key]) {
      throw new Error(`the build has no ${key}: the budget cannot be checked`);
    }
    take(key);
  }
  return [...files].filter((file) => file.endsWith(".js"));
}

/** What the service worker stores, and the service worker itself. */
function installFiles() {
  const worker = readFileSync(join(DIST, "sw.js"), "utf8");
  const urls = [...worker.matchAll(/"?url"?:"([^"]+)"/g)].map((match) => match[1] ?? "");
  if (!urls.includes("index.html")) {
    throw new Error("sw.js lists no index.html: the offline install would be empty");
  }
  return [...new Set([...urls, "sw.js"])];
}

/** @param {string} name @param {string[]} files @param {number} limit_kb */
function check(name, files, limit_kb) {
  const bytes = files.reduce((sum, file) => sum + (sizes.get(file) ?? 0), 0);
  const missing = files.filter((file) => !sizes.has(file));
  if (missing.length > 0) {
    throw new Error(`${name}: not in the build: ${missing.join(", ")}`);
  }
  const isOver = bytes > limit_kb * KB;
  const words = isOver ? "OVER the budget of" : "of at most";
  console.log(
    `${name}: ${(bytes / KB).toFixed(1)} KB ${words} ${limit_kb} KB (${files.length} files)`,
  );
  return isOver;
}

/** The engine's files as they are put into its worker, before compression. */
function checkEngine() {
  const bytes = Object.values(packEngine()).reduce((sum, text) => sum + text.length, 0);
  const isOver = bytes > ENGINE_KB * KB;
  const words = isOver ? "OVER the budget of" : "of at most";
  console.log(`Engine, uncompressed: ${(bytes / KB).toFixed(1)} KB ${words} ${ENGINE_KB} KB`);
  return isOver;
}

const sizes = new Map(filesIn(DIST).map((file) => [file, sizeOf(file)]));
const start = startFiles();
const install = installFiles();
for (const file of [...install].sort((a, b) => (sizes.get(b) ?? 0) - (sizes.get(a) ?? 0))) {
  const mark = start.includes(file) ? "start" : "     ";
  console.log(`  ${mark} ${((sizes.get(file) ?? 0) / KB).toFixed(1).padStart(7)} KB  ${file}`);
}
const isStartOver = check("Start page, JavaScript, compressed", start, START_JS_KB);
const isInstallOver = check("Whole offline install, compressed", install, INSTALL_KB);
const isEngineOver = checkEngine();
process.exitCode = isStartOver || isInstallOver || isEngineOver ? 1 : 0;
