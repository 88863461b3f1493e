/** The boards of one branch box: which position has a unit behind it. */
import type { StepRow } from "../../../../local/rows";
import type { Result } from "../../../parts/reading/useLive";
import type { Inputs, Where } from "../../../parts/reading/useReading";
import { unitsOfBox } from "../ports/sheet";

export type PositionState = "used" | "unused" | "absent";
export type Position = { position: number; port: number | null; state: PositionState };
export type Board = { board: number; positions: Position[] };
export type SwitchesResult = Result & { boxes: { box: string; boards: Board[] }[] };

/** A tick that goes with the reading: all is set as shown. */
export type Ticked = { set: "yes" | "no" };

/** As the engine names its fields: there is one box on the screen. */
export const PORTS = "boxes[0].ports";
export const PER_BOARD = "boxes[0].ports_per_board";

export function switchInputs(values: Record<string, number>, where: Where): Inputs | null {
  const { unit } = where;
  if (!unit) return null;
  const used = [...unitsOfBox(unit, where).keys()].sort((a, b) => a - b);
  return {
    boxes: [{ box: unit.tag, ports: values[PORTS], ports_per_board: values[PER_BOARD], used }],
  };
}

/** No verdict settles it: the step of the box is done when somebody says so. */
export function stepOfBox({ view, unit }: Where): StepRow | undefined {
  return view.stepsByUnit.get(unit?.id ?? "")?.find((step) => step.code === "port_switches");
}
