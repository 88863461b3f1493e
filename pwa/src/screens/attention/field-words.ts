/** Fields and their values as people write them: no code, no id, no machine's day. */
import { formatDay, formatDayTime, formatDuration } from "../../format";
import { hereZone } from "../../format/here";
import { formatNumber } from "../../format/number";
import type { JobView } from "../../queries/job";
import type { Person } from "../../queries/people";
import { hasText, t } from "../../text";
import { issueRef, listWords } from "../parts/issue-words";
import { wordsFor } from "../parts/unit-words";

export type Known = {
  /** Missing where the job is not on this phone. */
  view?: JobView | null | undefined;
  people?: readonly Person[] | undefined;
};
export type Shown = Known & { field: string };

/** A field that only a newer app or a newer server knows has no name here. */
export function fieldWords(field: string): string {
  const key = `attention.field.${field}`;
  return hasText(key) ? t(key) : t("attention.field.unknown");
}

/** Whose codes have words elsewhere. */
const PREFIX: Partial<Record<string, string>> = {
  category: "category",
  who_must_act: "who",
  state: "attention.state",
  stops: "side",
  purpose: "purpose",
  kind: "kind",
  shift_days: "weekday",
};

/** A value as people write it. */
export function valueWords(value: unknown, shown: Shown): string {
  if (Array.isArray(value) && value.length > 0) {
    return listWords(value.map((one) => valueWords(one, shown)));
  }
  if (value === null || value === undefined || String(value) === "") {
    return t("attention.empty_value");
  }
  if (typeof value === "boolean") return t(value ? "attention.yes" : "attention.no");
  // Of a field that only a newer app knows.
  if (value instanceof Object) return t("attention.unreadable");
  const prefix = PREFIX[shown.field];
  if (prefix) return wordsFor(prefix, String(value));
  if (typeof value === "number") return numberWords(value, shown);
  return momentWords(value as string, shown) ?? nameWords(value as string, shown);
}

function numberWords(value: number, { field }: Shown): string {
  if (field === "planned_s") return formatDuration(value);
  return formatNumber(value, { significant: 6 });
}

export const zoneOf = ({ view }: Known) => view?.job.time_zone ?? hereZone();

function momentWords(value: string, shown: Shown): string | null {
  const isTime = shown.field.endsWith("_at");
  if ((!isTime && !shown.field.endsWith("_on")) || Number.isNaN(Date.parse(value))) return null;
  const zone = { zone: zoneOf(shown) };
  return isTime ? formatDayTime(value, zone) : formatDay(value, zone);
}

/** "Part one, controls, Wed 25 Nov" */
export function visitWords(id: unknown, { view }: Known): string {
  const visit = view?.visitById.get(String(id));
  if (!view || !visit) return "";
  const day = formatDay(visit.starts_at, { zone: view.job.time_zone });
  return `${wordsFor("purpose", visit.purpose)}, ${day}`;
}

/** "Power at every unit · L2-01" */
export function stepName(id: string, { view }: Known): string {
  const step = view?.stepById.get(id);
  const tag = step?.unit_id && view?.unitById.get(step.unit_id)?.tag;
  return [step && wordsFor("step", step.code), tag].filter(Boolean).join(" · ");
}

const ID = /^[0-9a-f]{8}-[0-9a-f-]{27}$/i;

/** A row by the name that people know it by; anything else is text that somebody wrote. */
function nameWords(value: string, { field, view, people }: Shown): string {
  const issue = view?.issueById.get(value);
  const name =
    view?.unitById.get(value)?.tag ??
    view?.systemById.get(value)?.tag ??
    people?.find((person) => person.id === value)?.name ??
    (issue && issueRef(issue));
  const found = name || stepName(value, { view }) || visitWords(value, { view });
  if (found) return found;
  if (ID.test(value) || field.endsWith("_id")) return t("attention.unknown_row");
  return field === "time_zone" ? value.replaceAll("_", " ") : value;
}
