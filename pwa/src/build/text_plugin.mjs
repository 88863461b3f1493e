import { compileMessages, PARTS, writeKeys } from "./text.mjs";

/** `virtual:catalogue`, and such as `virtual:catalogue/checks` for a part of its own. */
const NAMES = PARTS.map((part) => ["virtual:catalogue", part].filter(Boolean).join("/"));
/** @param {string} name */
const resolved = (name) => `\0${name}`;

/**
 * Compiles the sentences when the app is built: the phone never parses ICU.
 * @returns {import("vite").Plugin}
 */
export function textCatalogue() {
  return {
    name: "flarenut-text",
    buildStart: writeKeys,
    resolveId(id) {
      return NAMES.includes(id) ? resolved(id) : undefined;
    },
    load(id) {
      const part = PARTS.find((_, at) => resolved(NAMES[at] ?? "") === id);
      if (part === undefined) {
        return undefined;
      }
      return `export const catalogue = ${JSON.stringify(compileMessages("en", part))};`;
    },
    handleHotUpdate({ file, server }) {
      if (!file.includes("/text/en/")) {
        return undefined;
      }
      writeKeys();
      return NAMES.flatMap((name) => server.moduleGraph.getModuleById(resolved(name)) ?? []);
    },
  };
}
