/** What the pressure hold and the standing vacuum have of their own; all else they share. */
import type { VNode } from "preact";
import type { Entered } from "../../../../local/rows";
import type { Point, Timed } from "../../../../queries/holds";
import type { JobView } from "../../../../queries/job";
import type { Field, Pick } from "../../../parts/reading/entry";
import type { Result } from "../../../parts/reading/useLive";
import type { Inputs } from "../../../parts/reading/useReading";
import type { UnitsInUse } from "../../../parts/reading/value-words";
import type { Drawing } from "./drawing";
import type { HoldDraft } from "./typed";
import type { HoldForm } from "./useHold";

/** What a picture or a table of a hold is made from. */
export type Drawn = {
  points: Point[];
  setup: Inputs;
  result: Result | null;
  units: UnitsInUse;
};

export type HoldKind = {
  calculation: Timed;
  /** Forms with the same word share the instruments last used. */
  instruments: string;
  /** Asked once, when the hold begins. */
  setup: (draft: HoldDraft) => Field[];
  picks?: (view: JobView) => Pick[];
  /**
   * Asked at each reading beside those that are there, the one that stands for it first; names as
   * within `readings[n]`.
   */
  reading: (others: Point[]) => [Field, ...Field[]];
  /** Of the set-up, what is only kept as typed: the engine does not take it. */
  onlyTyped?: string[];
  /** Inputs of the set-up that are not typed as numbers. */
  more?: (draft: HoldDraft, known: { values: Record<string, number>; view: JobView }) => Inputs;
  /** What the limits sheet of the job says of the set-up. */
  ofSheet?: (view: JobView) => Entered;
  /** What of the set-up belongs to one hold alone: it is asked for anew when another begins. */
  ofOne?: string[];
  /** What of the last hold of the job is offered again for another system. */
  repeats: string[];
  SetUp: (props: { form: HoldForm }) => VNode;
  draw: (what: Drawn) => Drawing;
  /** Heads of the table behind the curve, beside the time; then its cells for one reading. */
  columns: () => string[];
  cells: (at: number, what: Drawn) => string[];
};
