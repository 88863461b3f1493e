// The style sheet as text for tokens.test.ts: an imported style sheet is empty in tests.
import { readFileSync } from "node:fs";

export const css = readFileSync(new URL("./tokens.css", import.meta.url), "utf8");
