import { Button } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { type TextKey, t } from "../../text";

export type LinkTrouble =
  | "link_offline"
  | "link_unknown"
  | "link_busy"
  | "link_failed"
  | "link_ended"
  | "link_again"
  | "no_link";

const TROUBLES: Partial<Record<string, LinkTrouble>> = {
  offline: "link_offline",
  link_ended: "link_unknown",
  not_found: "link_unknown",
  invalid: "link_unknown",
  too_many_tries: "link_busy",
  none: "no_link",
};

export function troubleOf(code: string): LinkTrouble {
  return TROUBLES[code] ?? "link_failed";
}

/** A link that does not open: what happened and what to do about it, in plain words. */
export function LinkProblem({
  trouble,
  company = "",
  onAgain,
}: {
  trouble: LinkTrouble;
  company?: string;
  onAgain?: () => void;
}) {
  const hint: TextKey = `answer.${trouble}_hint`;
  return (
    <EmptyState title={t(`answer.${trouble}`)}>
      <p>{t(hint, { company })}</p>
      {onAgain && <Button onPress={onAgain}>{t("answer.try_again")}</Button>}
    </EmptyState>
  );
}
