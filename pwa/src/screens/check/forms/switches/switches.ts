/** The boards of one branch box: which position has a unit behind it. */
import type { StepRow } from "../../../../local/rows";
import { t } from "../../../../text";
import { type Field, type ReadingDraft, valuesOf } from "../../../parts/reading/entry";
import type { Result } from "../../../parts/reading/useLive";
import type { Inputs, Where } from "../../../parts/reading/useReading";
import { unitsOfBox } from "../ports/sheet";

export type PositionState = "used" | "unused" | "absent";
export type Position = { position: number; port: number | null; state: PositionState };
export type Board = { board: number; positions: Position[] };
export type SwitchesResult = Result & { boxes: { box: string; boards: Board[] }[] };

/** A tick that goes with the reading: the boards that were on the screen when it was set. */
export type Ticked = { setAs: string | null };

/** As the engine names its fields: there is one box on the screen. */
export const PORTS = "boxes[0].ports";
export const PER_BOARD = "boxes[0].ports_per_board";

export const fieldsOfBox = (): Field[] => [
  { name: PER_BOARD, label: t("field.ports_per_board"), quantity: "count" },
  { name: PORTS, label: t("field.ports"), quantity: "count" },
];

/** A port of the sheet that the box does not have is told beside the number of its ports. */
export function shownBeside(field: string): string {
  return field.startsWith("boxes[0].used") ? PORTS : field;
}

export function switchInputs(values: Record<string, number>, where: Where): Inputs | null {
  const { unit } = where;
  if (!unit) return null;
  const used = [...unitsOfBox(unit, where).keys()].sort((a, b) => a - b);
  return {
    boxes: [{ box: unit.tag, ports: values[PORTS], ports_per_board: values[PER_BOARD], used }],
  };
}

const asShown = (draft: ReadingDraft<Ticked>, where: Where) =>
  JSON.stringify(switchInputs(valuesOf(fieldsOfBox(), { draft }), where));

/** Ticked for what is on the screen now, or for other boards: ports or sheet changed since. */
export function tickOf(draft: ReadingDraft<Ticked>, where: Where): "set" | "changed" | "open" {
  const { setAs } = draft.own;
  if (!setAs) return "open";
  return setAs === asShown(draft, where) ? "set" : "changed";
}

export function ticked(draft: ReadingDraft<Ticked>, where: Where): Ticked {
  return { setAs: asShown(draft, where) };
}

/** No verdict settles it: the step of the box is done when somebody says so. */
export function stepOfBox({ view, unit }: Where): StepRow | undefined {
  return view.stepsByUnit.get(unit?.id ?? "")?.find((step) => step.code === "port_switches");
}
