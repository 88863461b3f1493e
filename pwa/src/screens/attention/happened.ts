/** What came between, where this phone has been told: who it was, when, and the words. */
import { formatDayTime } from "../../format";
import type { AttentionItem } from "../../queries/attention";
import { t } from "../../text";
import { type Known, zoneOf } from "./field-words";

type Item = Pick<AttentionItem, "type" | "code" | "entity">;

export function happenedWords({ type, code, entity }: Item, known: Known): string[] {
  if (code !== "wrong_state" || !type.startsWith("issue.")) return [];
  const events = known.view?.eventsByIssue.get(entity) ?? [];
  const last = events.findLast(({ kind, pending }) => kind !== "changed" && !pending);
  if (!last) return [];
  const event = t(`issue.event_${last.kind}`, { who: last.by_name });
  const when = formatDayTime(last.at, { zone: zoneOf(known) });
  return [
    t("attention.happened", { event, when }),
    ...(last.words ? [t("attention.happened_words", { words: last.words })] : []),
  ];
}
