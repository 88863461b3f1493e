/** The curve on its canvas. A chunk of its own: fetched when a hold is looked at, kept offline. */
import "uplot/dist/uPlot.min.css";
import uPlot from "uplot";
import { formatDayTime, formatTime, formatWeekday } from "../../../../format/time";
import { type Drawing, isCut, type Level } from "./drawing";

const HEIGHT_PX = 250;
const POINT_PX = 11;
/** From here on a time of day alone does not say which day. */
const LONG_S = 20 * 3600;

/** A canvas counts the strokes of a broken line in its own dots, not in those of the page. */
const broken = (...lengths: number[]) => lengths.map((one) => one * (devicePixelRatio || 1));

type Colour = (token: string) => string;

/** The tokens of the mode that is on now, as the canvas takes them. */
function coloursOf(box: HTMLElement): Colour {
  const probe = document.createElement("span");
  return (token) => {
    probe.style.color = `var(--${token})`;
    box.append(probe);
    const { color } = getComputedStyle(probe);
    probe.remove();
    return color;
  };
}

/** Told apart by stroke first, by colour last. */
function seriesOf(drawing: Drawing, colour: Colour): uPlot.Series[] {
  const plain: uPlot.Series = { points: { show: false }, spanGaps: true };
  const edge: uPlot.Series = { ...plain, stroke: colour("copper"), width: 1, dash: broken(1, 3) };
  return [
    {},
    edge,
    edge,
    { ...plain, ...pathsOf(drawing), stroke: colour("copper"), width: 2.5, dash: broken(8, 5) },
    ...drawing.levels.map((level) => levelSeries(level, colour)),
    {
      stroke: colour("ink"),
      width: 0,
      paths: () => null,
      points: {
        show: true,
        size: POINT_PX,
        width: 2,
        stroke: colour("raised"),
        fill: colour("ink"),
      },
    },
  ];
}

function pathsOf({ join }: Drawing): Pick<uPlot.Series, "paths"> {
  const paths = join === "smooth" ? uPlot.paths.spline?.() : uPlot.paths.linear?.();
  return paths ? { paths } : {};
}

function levelSeries({ kind }: Level, colour: Colour): uPlot.Series {
  const [stroke, width] = kind === "limit" ? [colour("bad"), 2.5] : [colour("slate"), 2];
  const dash = kind === "limit" ? [] : broken(12, 4, 2, 4);
  return { stroke, width, dash, points: { show: false } };
}

function axesOf(drawing: Drawing, colour: Colour, zone: string): uPlot.Axis[] {
  const box = getComputedStyle(document.body);
  const font = `${box.fontWeight} 14px ${box.fontFamily}`;
  const plain = {
    font,
    stroke: colour("ink"),
    grid: { stroke: colour("edge"), width: 1, dash: broken(1, 5) },
    ticks: { stroke: colour("edge"), width: 1, size: 6 },
  };
  const isLong = (drawing.at_s.at(-1) ?? 0) - (drawing.at_s[0] ?? 0) > LONG_S;
  const when = (at_s: number) => {
    if (isCut(at_s, drawing)) return "";
    const time = formatTime(at_s, { zone });
    return isLong ? `${time}\n${formatWeekday(at_s, { zone })}` : time;
  };
  return [
    { ...plain, space: 68, size: isLong ? 48 : 32, values: (_, splits) => splits.map(when) },
    { ...plain, space: 40, size: drawing.axisPx },
  ];
}

function optionsOf(drawing: Drawing, { box, zone }: { box: HTMLElement; zone: string }) {
  const colour = coloursOf(box);
  const options: uPlot.Options = {
    width: Math.max(160, box.clientWidth),
    height: HEIGHT_PX,
    padding: [12, 14, 0, 0],
    legend: { show: false },
    cursor: { show: false },
    select: { show: false, left: 0, top: 0, width: 0, height: 0 },
    tzDate: (at_s) => uPlot.tzDate(new Date(at_s * 1000), zone),
    scales: {
      x: { time: true, range: () => [drawing.from_s, drawing.to_s] },
      y: { range: () => [drawing.low, drawing.high] },
    },
    series: seriesOf(drawing, colour),
    bands: [{ series: [1, 2], fill: colour("copper-wash") }],
    axes: axesOf(drawing, colour, zone),
  };
  return options;
}

/** Levels reach from edge to edge, everything else as far as there are readings. */
function dataOf(drawing: Drawing): uPlot.AlignedData {
  const { at_s, from_s, to_s, line, levels, measured } = drawing;
  const { high, low } = drawing.band ?? { high: at_s.map(() => null), low: at_s.map(() => null) };
  const within = (values: (number | null)[]) => [null, ...values, null];
  const times = [from_s, ...at_s, to_s];
  const flat = levels.map(({ value }) => times.map(() => value));
  return [times, within(high), within(low), within(line), ...flat, within(measured)];
}

/** Draws, and draws again when the width or the mode changes. Gives back how it ends. */
export function plotInto(
  box: HTMLElement,
  { drawing, zone }: { drawing: Drawing; zone: string },
): () => void {
  let plot: uPlot | null = null;
  const draw = () => {
    plot?.destroy();
    plot = new uPlot(optionsOf(drawing, { box, zone }), dataOf(drawing), box);
    box.dataset["drawn"] = formatDayTime(drawing.to_s, { zone });
  };
  draw();
  let width = box.clientWidth;
  const size = new ResizeObserver(() => {
    if (box.clientWidth !== width) {
      width = box.clientWidth;
      draw();
    }
  });
  size.observe(box);
  const mode = new MutationObserver(draw);
  mode.observe(document.documentElement, { attributeFilter: ["data-mode"] });
  const dark = matchMedia("(prefers-color-scheme: dark)");
  dark.addEventListener("change", draw);
  return () => {
    size.disconnect();
    mode.disconnect();
    dark.removeEventListener("change", draw);
    plot?.destroy();
  };
}
