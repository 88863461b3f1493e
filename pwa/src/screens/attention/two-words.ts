/** Whose the values of one field are, in words: the same person may have written both, on two phones. */
import { formatDayTime } from "../../format";
import type { OtherValue } from "../../local/rows";
import { t } from "../../text";

type Others = { others: OtherValue[] };

export function leadWords({ others }: Others): string {
  const [last] = others;
  if (others.length > 1) return t("attention.many_lead", { count: others.length + 1 });
  const areTwo = last?.now_by_name !== undefined && last.now_by_name !== last.by_name;
  return t(areTwo ? "attention.two_lead" : "attention.two_lead_one");
}

/** Above the value that counts: whose it is and since when, where the server has said so. */
export function nowWords({ others }: Others, { zone }: { zone: string }): string {
  const { now_by_name: name, now_at: at } = others[0] ?? {};
  if (!name || !at) return t("attention.value_now");
  return t("attention.value_now_by", { name, when: formatDayTime(at, { zone }) });
}
