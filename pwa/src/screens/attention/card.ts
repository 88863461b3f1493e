/** One card of "Needs your attention" as a whole, in words: what it was, why it waits, what can be done. */
import "../../text/checks";
import { isMutation, type Together } from "../../actions/hangs-on";
import type { AttentionItem } from "../../queries/attention";
import { hasText, type TextKey, t } from "../../text";
import { aboutWords } from "./about";
import { isPhotoOf, outcomeKey, whatKey, whyWords } from "./attention-words";
import { type Fact, factsOf, type KnownOfUnits } from "./facts";
import { happenedWords } from "./happened";
import { isWrong, type MendableField, mendableFields } from "./mendable";
import { otherProblems } from "./problem-words";
import { wordsSince } from "./since";
import { placeOfItem } from "./subject";

export type Card = {
  title: string;
  about: string;
  why: string;
  problems: string[];
  /** What somebody did to it in the meantime. */
  happened: string[];
  facts: Fact[];
  mendable: MendableField[];
  /** What else there is to do; empty where mending it here is the way. */
  instead: string;
  /** Where it can be opened on this phone. */
  place: string | null;
};

/** The photo itself is on the device that took it. */
type Here = { hasPicture: boolean };

export function canSend(item: AttentionItem, { hasPicture }: Here): boolean {
  return isMutation(item.type) && (item.type !== "photo.add" || hasPicture);
}

export function cardOf(item: AttentionItem, known: KnownOfUnits, here: Here): Card {
  const mendable = canSend(item, here) ? mendableFields(item, known) : [];
  const since = wordsSince(item, known);
  const happened = happenedWords(item, known);
  return {
    title: `${whatWords(item)}: ${t(outcomeKey(item.outcome))}`,
    about: aboutWords(item, { view: known.view }),
    why: since?.why ? t(since.why) : whyWords(item),
    // How it stands now is told by what happened to it, where that is known.
    problems: happened.length > 0 ? [] : otherProblems(item, { mendable }),
    happened,
    facts: factsOf(item, known, { mendable }),
    mendable,
    instead: insteadWords(item, { known, mendable, here }),
    place: placeOfItem(item, known),
  };
}

export function whatWords({ type }: Pick<AttentionItem, "type">): string {
  return t(whatKey(type, { hasText }));
}

type Open = { known: KnownOfUnits; mendable: readonly MendableField[]; here: Here };

/** Whatever is wrong can be mended right here: then nothing else need be said. */
function insteadWords(item: AttentionItem, { known, mendable, here }: Open): string {
  if (item.type === "photo")
    return item.outcome === "photo_refused" ? t("attention.photo_again") : "";
  if (isPhotoOf(item) && !here.hasPicture) return t("attention.photo_elsewhere");
  if (item.code === "goes_with") return "";
  const wrong = Object.keys(item.problem_fields);
  const isMended = mendable.some((field) => isWrong(field, item, known));
  const isAllMended = wrong.every((field) => (mendable as readonly string[]).includes(field));
  if (isMended && isAllMended) return "";
  const since = wordsSince(item, known);
  if (since && !NOT_THEIRS.has(item.code)) return since.instead ? t(since.instead) : "";
  return t(insteadKey(item));
}

/** Sent again by the same person they come to the same: these are for somebody else to do. */
const NOT_THEIRS = new Set([
  "not_your_step",
  "not_your_move",
  "not_your_visit",
  "not_allowed",
  "fixer_cannot_prove",
]);

function insteadKey({ type, code }: Pick<AttentionItem, "type" | "code">): TextKey {
  const own = `attention.instead.${type.replace(".", "_")}`;
  const found = [`${own}_${code}`, own].find(hasText);
  if (NOT_THEIRS.has(code)) return "attention.instead.not_theirs";
  if (found) return found;
  return type.startsWith("issue.") && isMutation(type)
    ? "attention.instead.issue"
    : "attention.instead.other";
}

/** What goes to the server along with it, by name, where anything does. */
export function togetherWords({ before, after, keptFirst }: Together): string {
  if (keptFirst) return t("attention.kept_first", { first: whatWords(keptFirst) });
  const first = namesOf(before);
  const what = namesOf(after);
  const count = after.length;
  if (before.length > 0 && count > 0) return t("attention.along_first", { first, what, count });
  if (before.length > 0) return t("attention.first", { first });
  return count > 0 ? t("attention.along", { what, count }) : "";
}

/** Each kind once: five photos are "Photo". */
function namesOf(cards: readonly AttentionItem[]): string {
  return [...new Set(cards.map(whatWords))].join(", ");
}
