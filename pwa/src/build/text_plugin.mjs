import { compileMessages, writeKeys } from "./text.mjs";

const NAME = "virtual:catalogue";
const RESOLVED = `\0${NAME}`;

/**
 * Compiles the sentences when the app is built: the phone never parses ICU.
 * @returns {import("vite").Plugin}
 */
export function textCatalogue() {
  return {
    name: "flarenut-text",
    buildStart: writeKeys,
    resolveId(id) {
      return id === NAME ? RESOLVED : undefined;
    },
    load(id) {
      if (id !== RESOLVED) {
        return undefined;
      }
      return `export const catalogue = ${JSON.stringify(compileMessages("en"))};`;
    },
    handleHotUpdate({ file, server }) {
      const loaded = server.moduleGraph.getModuleById(RESOLVED);
      if (file.includes("/text/en/") && loaded) {
        writeKeys();
        return [loaded];
      }
      return undefined;
    },
  };
}
