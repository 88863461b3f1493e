/** The count of units while it is made: what was reported, and what is seen on the walk. */
import type { ReadingRow, UnitRow } from "../../../../local/rows";
import type { JobView } from "../../../../queries/job";
import type { Reason } from "../../../../trade/types";
import type { ReadingDraft } from "../../../parts/reading/entry";
import type { Result } from "../../../parts/reading/useLive";
import type { Inputs, Where } from "../../../parts/reading/useReading";
import { boxesOf, indoorUnits, portCount, portName, portOf, unitsOfBox } from "../ports/sheet";

export type Seen = "running" | "still";
export type Walk = {
  /** By tag; a unit that is not here was not looked at. */
  seen: Record<string, Seen>;
  /** Ports that answer otherwise than on the sheet: silent ones, and ones it does not use. */
  otherwise: string[];
  /** Opened though nothing is missing. */
  opened: "yes" | "no";
};
export const NOT_BEGUN: Walk = { seen: {}, otherwise: [], opened: "no" };

export type Suspect = { unit: string; port: string | null; score: number; reasons: Reason[] };
export type CountResult = Result & { missing_count: number; suspects: Suspect[] };

type Draft = ReadingDraft<Walk>;

/** Every port of every box, and whether the sheet puts a unit on it. */
export function portsOf(where: Where): { box: UnitRow; name: string; isUsed: boolean }[] {
  return boxesOf(where).flatMap((box) => {
    const used = unitsOfBox(box, where);
    return Array.from({ length: portCount(box, where) }, (_, index) => ({
      box,
      name: portName(box, { port: index + 1 }),
      isUsed: used.has(index + 1),
    }));
  });
}

/** What is known of the power: a step that somebody marked, or an issue that stands open. */
export function poweredOf(units: UnitRow[], { view }: { view: JobView }) {
  return units.flatMap(({ id, tag }) => {
    const step = view.stepsByUnit.get(id)?.find((one) => one.code === "power_units");
    const isDark = view.issuesByUnit
      .get(id)
      ?.some((one) => one.category === "no_power" && /^(open|sent_back)$/.test(one.state));
    if (isDark || step?.state === "failed") return [{ unit: tag, seen: false }];
    return step?.state === "done" ? [{ unit: tag, seen: true }] : [];
  });
}

function portsReported(values: Record<string, number>, draft: Draft, where: Where) {
  const { reported_ports } = values;
  if (draft.picked["ports_told"] === "number" && reported_ports !== undefined) {
    return { reported_ports };
  }
  if (draft.picked["ports_told"] !== "names") return {};
  const answering = portsOf(where).filter(
    ({ name, isUsed }) => isUsed !== draft.own.otherwise.includes(name),
  );
  return { reported_ports: answering.map((port) => port.name) };
}

export function countInputs(
  values: Record<string, number>,
  { draft, where }: { draft: Draft; where: Where },
): Inputs | null {
  const units = indoorUnits(where);
  if (units.length === 0) return null;
  const { seen } = draft.own;
  return {
    expected: units.map((unit) => {
      const port = portOf(unit, where);
      return port === null ? { unit: unit.tag } : { unit: unit.tag, port };
    }),
    reported_units: values["reported_units"],
    ...portsReported(values, draft, where),
    fan_seen: units.flatMap(({ tag }) =>
      seen[tag] ? [{ unit: tag, running: seen[tag] === "running" }] : [],
    ),
    powered: poweredOf(units, where),
  };
}

/** What was pressed once more is taken back. */
export function pressed(walk: Walk, { tag, as }: { tag: string; as: Seen }): Partial<Walk> {
  const { [tag]: before, ...others } = walk.seen;
  return { seen: before === as ? others : { ...others, [tag]: as } };
}

/** The walk of a count before, to go on with it after something was mended; a pass is done with. */
export function walkOf(reading: ReadingRow | undefined): Record<string, Seen> {
  if (reading?.verdict === "pass") return {};
  const rows = (reading?.inputs["fan_seen"] ?? []) as { unit: string; running: boolean }[];
  return Object.fromEntries(rows.map((one) => [one.unit, one.running ? "running" : "still"]));
}

/** Signs of a unit that is known not to answer: nobody has to go and see. */
const KNOWN = ["fan_stands_still", "no_power"];

/** Whom to look at, the likeliest first, and who is known not to answer already. */
export function splitSuspects({ suspects }: CountResult, { seen }: Walk) {
  const isKnown = ({ unit, reasons }: Suspect) =>
    seen[unit] === "still" || reasons.some(({ code }) => KNOWN.includes(code));
  return {
    open: suspects.filter((one) => !seen[one.unit] && !isKnown(one)),
    found: suspects.filter((one) => seen[one.unit] !== "running" && isKnown(one)),
  };
}

const ALL_FOUND = ["missing_units_found", "more_found_than_missing"];

/** Where to go now; nowhere once as many are found as are missing. */
export function nextSuspect(result: CountResult, walk: Walk): Suspect | undefined {
  const isOver = (result.reasons ?? []).some(({ code }) => ALL_FOUND.includes(code));
  if (result.missing_count === 0 || isOver) return undefined;
  return splitSuspects(result, walk).open[0];
}
