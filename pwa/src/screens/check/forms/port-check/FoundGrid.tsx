import { t } from "../../../../text";
import { Scrolls } from "./Scrolls";
import type { Found } from "./words";

/** A column of tags on the left, and cells that fit a phone with two dozen units. */
const TAGS_PX = 62;
const WIDTH_PX = 372;
const LEAST_CELL_PX = 12;
const MOST_CELL_PX = 34;

function cellOf(count: number): number {
  const fits = Math.floor((WIDTH_PX - TAGS_PX) / count);
  return Math.min(MOST_CELL_PX, Math.max(LEAST_CELL_PX, fits));
}

/** Shape first: a disc on its own port, a square on another, a ring while it is not sure. */
function Mark({ x, y, size, found }: { x: number; y: number; size: number; found: Found }) {
  const r = size * 0.36;
  if (!found.clear) return <circle cx={x} cy={y} r={r} class="found-unclear" />;
  if (found.kind === "own") return <circle cx={x} cy={y} r={r} class="found-own" />;
  return <rect x={x - r} y={y - r} width={2 * r} height={2 * r} class="found-other" />;
}

function Lines({ count, cell }: { count: number; cell: number }) {
  const far = count * cell;
  const at = Array.from({ length: count + 1 }, (_, index) => index * cell);
  return (
    <path
      class="found-lines"
      d={at
        .map((one) => `M${TAGS_PX} ${TAGS_PX + one}h${far}M${TAGS_PX + one} ${TAGS_PX}v${far}`)
        .join("")}
    />
  );
}

function Tags({ tags, cell }: { tags: string[]; cell: number }) {
  return (
    <>
      {tags.map((tag, at) => {
        const middle = TAGS_PX + (at + 0.5) * cell;
        return (
          <g key={tag}>
            <text x={TAGS_PX - 5} y={middle} class="found-tag">
              {tag}
            </text>
            <text
              x={middle}
              y={TAGS_PX - 5}
              class="found-tag found-tag-up"
              transform={`rotate(-90 ${middle} ${TAGS_PX - 5})`}
            >
              {tag}
            </text>
          </g>
        );
      })}
    </>
  );
}

/** Units down, ports across. All on the slant line: as the sheet has it. */
export function FoundGrid({ assignment }: { assignment: Found[] }) {
  const tags = assignment.map((one) => one.unit);
  const cell = cellOf(tags.length);
  const size = TAGS_PX + tags.length * cell + 1;
  const own = assignment.filter((one) => one.kind === "own").length;
  return (
    <figure class="found">
      <figcaption>
        <b>{t("port_check.grid")}</b>
        <p class="quiet-text">{t("port_check.grid_key")}</p>
      </figcaption>
      <Scrolls label={t("port_check.grid")}>
        <svg
          role="img"
          width={size}
          height={size}
          viewBox={`0 0 ${size} ${size}`}
          aria-label={t("port_check.grid_spoken", { own, total: tags.length })}
        >
          <Lines count={tags.length} cell={cell} />
          <path
            class="found-slant"
            d={`M${TAGS_PX} ${TAGS_PX}l${tags.length * cell} ${tags.length * cell}`}
          />
          <Tags tags={tags} cell={cell} />
          {assignment.map((found, row) => {
            const column = found.port === null ? -1 : tags.indexOf(found.port);
            if (column < 0) return null;
            const [x, y] = [column, row].map((at) => TAGS_PX + (at + 0.5) * cell);
            return <Mark key={found.unit} x={x ?? 0} y={y ?? 0} size={cell} found={found} />;
          })}
        </svg>
      </Scrolls>
      <ul class="found-key">
        {(["own", "other", "unclear"] as const).map((kind) => (
          <li key={kind}>
            <svg width="20" height="20" aria-hidden="true">
              <Mark
                x={10}
                y={10}
                size={20}
                found={
                  { kind: kind === "own" ? "own" : "other", clear: kind !== "unclear" } as Found
                }
              />
            </svg>
            {t(`port_check.key_${kind}`)}
          </li>
        ))}
      </ul>
    </figure>
  );
}
