import "../../text/checks";
import { hereZone } from "../../format/here";
import type { EndedDraft } from "../../queries/ended-drafts";
import { hasText, t } from "../../text";
import { wordsFor } from "../parts/unit-words";
import { pathWords, typedWords } from "../reading/raw-words";
import { whatKey } from "./attention-words";

type Begun = Pick<EndedDraft, "key" | "value">;

/** What an entry would have become, by how its key begins. */
const BECOMES: Record<string, string> = {
  log: "issue.raise",
  answer: "issue.answer",
  answer_here: "issue.answer",
  change: "issue.set",
  prove: "issue.prove",
  send_back: "issue.send_back",
  accept: "issue.accept",
  why: "step.mark",
  "own-steps": "step.mark",
  unit: "photo.add",
  marks: "photo.mark",
  book: "visit.plan",
  rebook: "visit.set",
  leave: "visit.close",
};

export function begunTitle({ key }: Pick<Begun, "key">): string {
  const [kind = "", calculation = ""] = key.split(":");
  const what =
    kind === "check"
      ? wordsFor("calculation", calculation)
      : t(whatKey(BECOMES[kind] ?? kind, { hasText }));
  return t("ended.title", { what });
}

/** In the order in which they are typed. */
const WRITTEN = ["words", "action", "evidence", "note", "reason", "name"] as const;

/** All that was written, each line under its name. Codes of choices that need the job's rows stay out. */
export function begunLines({ key, value }: Begun): string[] {
  const { category, marks } = value;
  const chosen = typeof category === "string" ? [wordsFor("category", category)] : [];
  const written = WRITTEN.flatMap((field) => {
    const words = value[field];
    const name = t(`attention.field.${field}`);
    return typeof words === "string" && words.trim() ? [t("ended.value", { name, words })] : [];
  });
  const drawn = Array.isArray(marks) && marks.length > 0;
  const count = drawn ? [t("ended.marks", { count: marks.length })] : [];
  return [...chosen, ...written, ...typedLines({ key, value }), ...count];
}

function typedLines({ key, value }: Begun): string[] {
  const [, calculation = ""] = key.split(":");
  const typed = Object.entries(
    (value.typed ?? {}) as Record<string, { text: string; unit: string }>,
  );
  const shown = { zone: hereZone(), nameOf: (name: string) => name };
  return typed
    .filter(([path, { text }]) => text.trim() !== "" && !path.endsWith(".id"))
    .map(([path, entry]) =>
      t("ended.value", { name: pathWords(path, { calculation }), words: typedWords(entry, shown) }),
    );
}
