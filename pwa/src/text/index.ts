/**
 * The one way a sentence reaches a screen. Sentences live in `en` as ICU messages and are
 * compiled when the app is built; a key that no file has is a type error.
 */

import { catalogue } from "virtual:catalogue";
import { type Messages, setupI18n } from "@lingui/core";
import type { TextKey } from "./keys";

export type { TextKey } from "./keys";
export type TextValues = Record<string, string | number | Date>;

const known: Messages = { ...catalogue };
const language = setupI18n({ locale: "en", messages: { en: known } });

/** Sentences of a part that is fetched on its own: see `checks.ts`. */
export function addSentences(more: Messages): void {
  Object.assign(known, more);
  language.load("en", known);
}

export function t(id: TextKey, values?: TextValues): string {
  return language._(id, values);
}

/** True for a code that has a sentence; for codes that come from the engine or the server. */
export function hasText(id: string): id is TextKey {
  return id in known;
}
