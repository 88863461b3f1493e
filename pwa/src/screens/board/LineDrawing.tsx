import type { BarKind } from "../../components/plan-drawing";
import type { ReadinessLine, Stretch } from "./readiness-line";

const HEIGHT = 56;
const MIDDLE = HEIGHT / 2;
/** A visit of an hour would be a hair on ten days; a box needs a width that can be seen. */
const LEAST_BOX = 0.22;
/** In the order of drawing: what is drawn later lies on top. */
const KINDS: BarKind[] = ["promise", "hold", "work"];
const TALL: Record<BarKind, number> = { promise: 12, hold: 16, work: 20 };

type Props = { line: ReadinessLine; days: readonly string[] };
type RectProps = { of: Stretch; tall: number; look: string; round: number };

/** One job on the calendar. The same is said in words beside it, so the drawing itself is silent. */
export function LineDrawing({ line, days }: Props) {
  const percent = (column: number) => `${((100 * column) / days.length).toFixed(2)}%`;
  const rect = ({ of, tall, look, round }: RectProps) => (
    <rect
      class={look}
      x={percent(of.from)}
      width={percent(of.to - of.from)}
      y={MIDDLE - tall / 2}
      height={tall}
      rx={round}
    />
  );
  const box = (of: Stretch) => ({ from: of.from, to: Math.max(of.to, of.from + LEAST_BOX) });
  const bars = KINDS.flatMap((kind) => line.bars.filter((bar) => bar.kind === kind));
  return (
    <svg class="board-drawing" width="100%" height={HEIGHT} aria-hidden="true">
      {days.map((day, index) => (
        <line
          key={day}
          class="board-tick"
          x1={percent(index)}
          x2={percent(index)}
          y1="2"
          y2={HEIGHT - 2}
        />
      ))}
      <line class="board-axis" x1="0" x2="100%" y1={MIDDLE} y2={MIDDLE} />
      {line.shade && rect({ of: line.shade, tall: 40, look: "plan-spread", round: 0 })}
      {bars.map((bar) =>
        rect({ of: bar, tall: TALL[bar.kind], look: `plan-${bar.kind}`, round: 2 }),
      )}
      {line.best !== null && line.best < days.length && (
        <line
          class="plan-best"
          x1={percent(line.best)}
          x2={percent(line.best)}
          y1="4"
          y2={HEIGHT - 4}
        />
      )}
      {line.proposed &&
        rect({ of: box(line.proposed), tall: 32, look: "plan-visit-proposed", round: 4 })}
      {line.booked.map((one) =>
        rect({ of: box(one), tall: 32, look: "plan-visit-booked", round: 4 }),
      )}
    </svg>
  );
}
