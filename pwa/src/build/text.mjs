// Every sentence of the app lives in src/text/<language> as key -> ICU message. This file
// reads and checks them; text_plugin.mjs puts them, compiled, into the app. Run alone (before the
// type check) it writes the list of keys, so that a key nobody wrote is a type error.
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { compileMessage } from "@lingui/message-utils/compileMessage";

const TEXT = fileURLToPath(new URL("../text/", import.meta.url));

/**
 * Sentences that the first page or most screens need stand in the folder of the language; those of one
 * kind of screens in a folder of their own, which is fetched with the first of them that opens.
 */
export const PARTS = ["", "checks", "office", "contractor", "account"];

/** @param {string} language @returns {Record<string, string>} */
export function readMessages(language) {
  return PARTS.reduce((all, part) => readPart(language, part, all), {});
}

/**
 * @param {string} language @param {string} part @param {Record<string, string>} before
 * @returns {Record<string, string>}
 */
function readPart(language, part, before = {}) {
  const folder = join(TEXT, language, part);
  /** @type {Record<string, string>} */
  const messages = { ...before };
  for (const file of readdirSync(folder).filter((name) => name.endsWith(".json"))) {
    for (const [key, words] of Object.entries(
      JSON.parse(readFileSync(join(folder, file), "utf8")),
    )) {
      if (typeof words !== "string") {
        throw new Error(`${language}/${file}: "${key}" is not a sentence`);
      }
      if (key in messages && messages[key] !== words) {
        throw new Error(`${language}/${file}: "${key}" is already written elsewhere`);
      }
      messages[key] = words;
    }
  }
  return messages;
}

/** @param {string} language @param {string} part @returns {Record<string, unknown>} */
export function compileMessages(language, part = "") {
  /** @type {Record<string, unknown>} */
  const compiled = {};
  for (const [key, words] of Object.entries(readPart(language, part))) {
    try {
      compiled[key] = compileMessage(words);
    } catch (problem) {
      throw new Error(`${language}: "${key}" is not an ICU message: ${problem}`);
    }
  }
  return compiled;
}

export function writeKeys() {
  const keys = Object.keys(readMessages("en")).sort();
  const union = keys.map((key) => `\n  | ${JSON.stringify(key)}`).join("") || " never";
  const wanted = `// Written by src/build/text.mjs from src/text/en.\nexport type TextKey =${union};\n`;
  const path = join(TEXT, "keys.ts");
  let found = "";
  try {
    found = readFileSync(path, "utf8");
  } catch {
    // The first run: there is no list yet.
  }
  if (found !== wanted) {
    writeFileSync(path, wanted);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeKeys();
}
