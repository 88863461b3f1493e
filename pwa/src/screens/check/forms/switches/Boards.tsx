import type { UnitRow } from "../../../../local/rows";
import type { JobView } from "../../../../queries/job";
import { t } from "../../../../text";
import { unitsOfBox } from "../ports/sheet";
import type { Position, PositionState, SwitchesResult } from "./switches";

const WORD = {
  used: "switches.in",
  unused: "switches.out",
  absent: "switches.absent",
} as const;
const KEY = {
  used: "switches.key_in",
  unused: "switches.key_out",
  absent: "switches.key_absent",
} as const;

/** State by shape first: a filled slot is in, an empty one out, a crossed one has no port. */
function Slot({ state }: { state: PositionState }) {
  return (
    <svg class="slot" viewBox="0 0 40 24" aria-hidden="true">
      <rect x="2" y="2" width="36" height="20" rx="5" class={`slot-body slot-${state}`} />
      {state === "used" && <circle cx="29" cy="12" r="6" class="slot-knob" />}
      {state !== "used" && <circle cx="11" cy="12" r="6" class="slot-off" />}
      {state === "absent" && <path d="m20 5 14 14m0-14L20 19" class="slot-cross" />}
    </svg>
  );
}

function OnePosition({ of, tags }: { of: Position; tags: string }) {
  return (
    <li class="position">
      <b>
        {of.port === null
          ? t("switches.position", { position: of.position })
          : t("switches.port", { port: of.port })}
      </b>
      <Slot state={of.state} />
      <span>{tags}</span>
      <span>{t(WORD[of.state])}</span>
    </li>
  );
}

type Props = { result: SwitchesResult; view: JobView; box: UnitRow };

/** The boards of the box, position by position. */
export function Boards({ result, view, box }: Props) {
  const units = unitsOfBox(box, { view });
  const boards = result.boxes[0]?.boards ?? [];
  const states = new Set(boards.flatMap((board) => board.positions.map((one) => one.state)));
  return (
    <section class="stack" aria-live="polite">
      {boards.map(({ board, positions }) => (
        <div key={board} class="board-of-box">
          <h2>{t("switches.board", { number: board })}</h2>
          <ol class="positions">
            {positions.map((one) => (
              <OnePosition
                key={one.position}
                of={one}
                tags={(units.get(one.port ?? 0) ?? []).map((unit) => unit.tag).join(", ")}
              />
            ))}
          </ol>
        </div>
      ))}
      <ul class="slot-key">
        {(["used", "unused", "absent"] as const)
          .filter((state) => states.has(state))
          .map((state) => (
            <li key={state}>
              <Slot state={state} />
              {t(KEY[state])}
            </li>
          ))}
      </ul>
    </section>
  );
}
