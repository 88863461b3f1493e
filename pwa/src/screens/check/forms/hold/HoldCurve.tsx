import { formatQuantity } from "../../../../format/number";
import { t } from "../../../../text";
import type { Result } from "../../../parts/reading/useLive";
import { Curve, type KeyEntry } from "./Curve";
import type { Drawing, Level } from "./drawing";
import type { Held } from "./useHold";

const LEVEL_WORDS = { limit: "hold.limit_line", water: "hold.water_line" } as const;
const BEYOND_WORDS = { limit: "hold.limit_beyond", water: "hold.water_beyond" } as const;

/** What is there, each with the stroke it is drawn with; a level that is too far off as words only. */
function keyOf(drawing: Drawing, { calculation }: Held["kind"]): KeyEntry[] {
  const has = (values: (number | null)[] | undefined) => values?.some((one) => one !== null);
  const value = (level: Level) =>
    formatQuantity(level.value, { significant: 4, unit: drawing.unit });
  const entries: KeyEntry[] = [{ look: "measured", words: t("hold.measured") }];
  if (has(drawing.line)) entries.push({ look: "line", words: t(`hold.line.${calculation}`) });
  if (has(drawing.band?.low)) entries.push({ look: "band", words: t("hold.band") });
  for (const level of drawing.levels) {
    entries.push({ look: level.kind, words: t(LEVEL_WORDS[level.kind], { value: value(level) }) });
  }
  for (const level of drawing.beyond) {
    entries.push({ look: level.kind, words: t(BEYOND_WORDS[level.kind], { value: value(level) }) });
  }
  return entries;
}

/** The hold as a picture: what was read, what a tight and dry circuit would show, and its limits. */
export function HoldCurve({ held, result }: { held: Held; result: Result | null }) {
  const { kind, at, shown, units } = held;
  const drawn = { ...shown, result, units };
  const drawing = kind.draw(drawn);
  return (
    <Curve
      title={t("hold.curve", { name: t(`calculation.${kind.calculation}`) })}
      drawing={drawing}
      zone={at.view.job.time_zone}
      entries={keyOf(drawing, kind)}
      heads={kind.columns()}
      rows={shown.points.map((point, index) => ({
        at: point.at,
        cells: kind.cells(index, drawn),
      }))}
    />
  );
}
