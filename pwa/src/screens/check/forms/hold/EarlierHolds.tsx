import { StateShape } from "../../../../components/StateShape";
import { holdsOf } from "../../../../queries/holds";
import { t } from "../../../../text";
import { readingWhen } from "../../../parts/reading-words";
import { readingPath } from "../../../parts/stored-readings";
import type { Held } from "./useHold";

/** Holds that were begun here before this one: how each ended, and the whole of it by a press. */
export function EarlierHolds({ held }: { held: Held }) {
  const { at, kind, hold, edit } = held;
  const systemId = at.system?.id ?? null;
  const shown = edit.kind === "begin" ? undefined : hold?.tip.id;
  const earlier = holdsOf(kind.calculation, { view: at.view, systemId }).filter(
    ({ tip }) => tip.id !== shown,
  );
  if (earlier.length === 0) return null;
  return (
    <details class="details">
      <summary>{t("hold.earlier", { count: earlier.length })}</summary>
      <div>
        <ul>
          {earlier.map(({ tip }) => (
            <li key={tip.id}>
              <a class="unit-row" href={readingPath(tip, { from: "readings" })}>
                <StateShape state={tip.verdict ?? "figure"} says="shape" />
                <span class="unit-row-words">
                  <b>{t(`state.${tip.verdict ?? "unclear"}`)}</b>
                  <span class="quiet-text block">{readingWhen(tip, at)}</span>
                </span>
              </a>
            </li>
          ))}
        </ul>
      </div>
    </details>
  );
}
