import { formatDayTime } from "../../../../format/time";
import type { Hold, Point } from "../../../../queries/holds";
import { t } from "../../../../text";
import type { Field } from "../../../parts/reading/entry";
import type { Result } from "../../../parts/reading/useLive";
import { quantityWords, valueWords } from "../../../parts/reading/value-words";
import type { Held } from "./useHold";

type Props = { held: Held; hold: Hold };

function readWords(point: Point, field: Field, { units }: Held): string | null {
  const si = point.si[field.name];
  return si === undefined ? null : quantityWords(si, field.quantity, units);
}

/** What the verdict card does not show large. */
const BESIDES = ["smallest_leak_seen_pa_m3_s", "leak_pa_m3_s"];

function besides(result: Result, { kind, units }: Held) {
  const name = BESIDES.find((one) => typeof result[one] === "number");
  if (!name) return [];
  const value = valueWords(name, result[name], { calculation: kind.calculation, units });
  return [{ label: t(`figure.${name}` as "figure.leak_pa_m3_s"), value }];
}

/** The last reading, large, and the smallest leak that the hold could have shown. */
export function LatestReading({ held, hold, result }: Props & { result: Result }) {
  const last = hold.points.at(-1);
  if (!last) return null;
  const shown = held.kind.reading([]).flatMap((field) => {
    const value = readWords(last, field, held);
    return value ? [{ label: field.label, value }] : [];
  });
  return (
    <dl class="hold-latest">
      {[...shown, ...besides(result, held)].map(({ label, value }) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd class="number">{value}</dd>
        </div>
      ))}
    </dl>
  );
}

function OneReading({ held, point, number }: { held: Held; point: Point; number: number }) {
  const zone = held.at.view.job.time_zone;
  const [main, ...rest] = held.kind.reading([]);
  const others = rest.flatMap((field) => readWords(point, field, held) ?? []);
  const when = formatDayTime(point.at, { zone });
  return (
    <li>
      <a class="unit-row" href={held.path({ to: "correct", point })}>
        <span class="unit-row-words">
          <span class="unit-row-tag">{readWords(point, main, held)}</span>
          {others.length > 0 && <span class="block">{others.join(" · ")}</span>}
          <span class="quiet-text block">
            {when}
            {point.clock === "typed" && ` (${t("hold.typed")})`}, {point.by}
          </span>
        </span>
        <span class="unit-row-end">
          {t("hold.change")} <span class="spoken">{t("hold.reading", { number })}</span>
        </span>
      </a>
    </li>
  );
}

/** Every reading of the hold, the last one first; a mistaken one is corrected from here. */
export function ReadingList({ held, hold }: Props) {
  return (
    <section>
      <h2 class="section-title">{t("hold.readings", { count: hold.points.length })}</h2>
      <ul>
        {hold.points
          .map((point, at) => (
            <OneReading key={point.id} held={held} point={point} number={at + 1} />
          ))
          .reverse()}
      </ul>
    </section>
  );
}
