import { VerdictCard } from "../../components/VerdictCard";
import { formatNumber, HARD_SPACE } from "../../format/number";
import type { UnitRow } from "../../local/rows";
import { hasText, t } from "../../text";
import type { SupplyVerdict as Result } from "../../trade/types";
import { listWords } from "../parts/issue-words";

type Props = { result: Result; reversed: UnitRow[] };

const FAILING = [
  "rotation_reverse",
  "unbalance_over_never",
  "unbalance_over_limit",
  "deviation_over_limit",
];

/** Said by the title already. */
const TITLES = ["rotation_reverse", "rotation_not_measured"];

/** Numbers of a reason as text: two digits below ten, none lost where the limit is close. */
function shownValues(values: Record<string, unknown>): Record<string, string> {
  return Object.fromEntries(
    Object.entries(values).map(([name, value]) => [
      name,
      typeof value === "number"
        ? formatNumber(value, { digits: name === "limit" && Number.isInteger(value) ? 0 : 2 })
        : String(value),
    ]),
  );
}

/** A reason as a sentence, with the number that was measured standing out. */
function Reason({ code, values }: Result["reasons"][number]) {
  const key = `reason.${code}`;
  if (!hasText(key)) return <>{code.replaceAll("_", " ")}</>;
  const shown = shownValues(values);
  const number = shown.value && `${shown.value}${HARD_SPACE}%`;
  const words = t(key, shown);
  if (!number || !words.includes(number)) return <>{words}</>;
  const at = words.indexOf(number);
  return (
    <>
      {words.slice(0, at)}
      <b>{number}</b>
      {words.slice(at + number.length)}
    </>
  );
}

export function verdictWord(result: Result): string {
  const codes = result.reasons.map((reason) => reason.code);
  const found = FAILING.find((code) => codes.includes(code));
  if (result.verdict === "fail") {
    return t(`supply.fail_${found ?? "deviation_over_limit"}` as "supply.fail_rotation_reverse");
  }
  return t(`supply.${result.verdict}`);
}

function nextWords(result: Result, reversed: UnitRow[]): string | null {
  const codes = result.next.filter((code) => code !== "next.suspect_the_feeder");
  const words = codes.flatMap((code) => (hasText(code) ? [t(code)] : []));
  const isReversed = result.reasons.some((reason) => reason.code === "rotation_reverse");
  if (isReversed && reversed.length > 0) {
    words.unshift(
      t("supply.check_feeder", {
        tags: listWords(reversed.map((unit) => unit.tag)),
        count: reversed.length,
      }),
    );
  }
  return words.length > 0 ? words.join(" ") : null;
}

/** Each number against its limit, with where the limit comes from. */
export function Reasons({ result }: { result: Result }) {
  return (
    <ul class="reasons">
      {result.reasons
        .filter((reason) => !TITLES.includes(reason.code))
        .map((reason) => (
          <li key={reason.code}>
            <Reason {...reason} />
          </li>
        ))}
      {result.current_unbalance_pct !== null && (
        <li>
          {t("supply.current_unbalance", {
            value: formatNumber(result.current_unbalance_pct, { digits: 1 }),
          })}
        </li>
      )}
    </ul>
  );
}

/** Word, numbers against limits with their source, what to do next, and the caution. */
export function SupplyVerdict({ result, reversed }: Props) {
  const next = nextWords(result, reversed);
  const caution = result.cautions.find(hasText);
  return (
    <VerdictCard
      verdict={result.verdict}
      word={verdictWord(result)}
      {...(next ? { next } : {})}
      {...(caution && result.verdict !== "pass" ? { caution: t(caution) } : {})}
    >
      <Reasons result={result} />
    </VerdictCard>
  );
}
