import { useEffect, useRef } from "preact/hooks";
import { formatDayTime } from "../../../../format/time";
import { t } from "../../../../text";
import type { Drawing } from "./drawing";

type Look = "measured" | "line" | "band" | "limit" | "water";
export type KeyEntry = { look: Look; words: string };

const STROKES: Record<Exclude<Look, "measured" | "band">, string> = {
  line: "8 5",
  limit: "",
  water: "12 4 2 4",
};

/** What each stroke of the picture stands for, drawn as it is drawn there. */
function Sample({ look }: { look: Look }) {
  return (
    <svg class={`curve-sample curve-${look}`} width="30" height="16" aria-hidden="true">
      {look === "measured" && <circle cx="15" cy="8" r="5.5" />}
      {look === "band" && <rect x="1" y="1" width="28" height="14" />}
      {look !== "measured" && look !== "band" && (
        <line x1="1" x2="29" y1="8" y2="8" stroke-dasharray={STROKES[look]} />
      )}
    </svg>
  );
}

function usePlot(drawing: Drawing, zone: string) {
  const box = useRef<HTMLDivElement>(null);
  const key = JSON.stringify(drawing);
  useEffect(() => {
    let end: (() => void) | null = null;
    let wanted = true;
    void import("./plot").then(({ plotInto }) => {
      if (wanted && box.current) end = plotInto(box.current, { drawing, zone });
    });
    return () => {
      wanted = false;
      end?.();
    };
  }, [key, zone]);
  return box;
}

export type TableRow = { at: string; cells: string[] };

type Props = {
  title: string;
  drawing: Drawing;
  zone: string;
  entries: KeyEntry[];
  /** The same in words, for people who listen. */
  heads: string[];
  rows: TableRow[];
};

/** A curve where people would rather look than read; the numbers stand in a table behind it. */
export function Curve({ title, drawing, zone, entries, heads, rows }: Props) {
  const box = usePlot(drawing, zone);
  return (
    <figure class="curve">
      <div class="curve-unit" aria-hidden="true">
        {drawing.unit}
      </div>
      <div class="curve-box" ref={box} aria-hidden="true" />
      <figcaption>
        <ul class="curve-key" aria-label={title}>
          {entries.map(({ look, words }) => (
            <li key={look}>
              <Sample look={look} />
              <span>{words}</span>
            </li>
          ))}
        </ul>
      </figcaption>
      <div class="spoken">
        <table>
          <caption>{title}</caption>
          <thead>
            <tr>
              <th scope="col">{t("hold.time")}</th>
              {heads.map((head) => (
                <th key={head} scope="col">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.at}>
                <th scope="row">{formatDayTime(row.at, { zone })}</th>
                {row.cells.map((cell, at) => (
                  <td key={heads[at]}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </figure>
  );
}
