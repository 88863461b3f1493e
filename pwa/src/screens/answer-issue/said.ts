import type { SyncState } from "../../queries/sync";
import { t } from "../../text";

type Said = { kind: "good" | "doubt"; title: string; hint: string };

/** Of an answer that was saved: it is with the office, goes there by itself, or needs its holder first. */
export function saidOf(sync: SyncState): Said {
  const title = t("answer_issue.saved");
  if (sync.waiting + sync.photos_waiting > 0) {
    if (sync.is_over) return { kind: "doubt", title, hint: t("sync.link_ended") };
    if (!sync.signed_in) return { kind: "doubt", title, hint: t("sync.link_again") };
    return { kind: "good", title, hint: t("answer_issue.saved_hint") };
  }
  if (sync.not_taken > 0) {
    return { kind: "doubt", title, hint: t("sync.not_taken", { count: sync.not_taken }) };
  }
  return { kind: "good", title: t("answer_issue.sent"), hint: t("answer_issue.sent_hint") };
}
