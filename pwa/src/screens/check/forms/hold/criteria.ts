/** Limits of a standing vacuum in published documents, offered and never taken unasked. */
import { formatNumber, formatQuantity } from "../../../../format/number";
import { toSi, unitOf } from "../../../../format/units";
import type { Entered, LimitRow } from "../../../../local/rows";
import type { JobView } from "../../../../queries/job";
import { t } from "../../../../text";
import { type Entry, known } from "../../../parts/reading/entry";
import { sheetLimit } from "../../../parts/reading/limits";
import { sourceWords } from "../../../parts/reading/reason-words";
import type { HoldDraft } from "./typed";

type Criterion = {
  id: string;
  /** As it is printed, in the unit of the document. */
  limit: { value: number; unit: "micron" | "Pa" };
  /** To be pumped down to before it stands; only where the document says so. */
  pumpDown?: { value: number; unit: "micron" };
  hours: number;
  source: string;
  mark: LimitRow["mark"];
};

export const CRITERIA: Criterion[] = [
  {
    id: "ufgs_15182",
    limit: { value: 500, unit: "micron" },
    pumpDown: { value: 300, unit: "micron" },
    hours: 1,
    source: "UFGS 15182",
    mark: "S",
  },
  {
    id: "ufgs_15741n",
    limit: { value: 300, unit: "micron" },
    hours: 2,
    source: "UFGS 15741N, last of three cycles",
    mark: "S",
  },
  {
    id: "nl_under_10",
    limit: { value: 270, unit: "Pa" },
    hours: 0.5,
    source: "Dutch regulation BWBR0008743, charge under 10 kg",
    mark: "S",
  },
  {
    id: "nl_under_200",
    limit: { value: 270, unit: "Pa" },
    hours: 1,
    source: "Dutch regulation BWBR0008743, charge under 200 kg",
    mark: "S",
  },
  {
    id: "nl_above_200",
    limit: { value: 270, unit: "Pa" },
    hours: 2,
    source: "Dutch regulation BWBR0008743, charge of 200 kg and more",
    mark: "S",
  },
];

export function pumpDownPa({ pumpDown }: Criterion): number | null {
  return pumpDown ? toSi(pumpDown.value, unitOf("vacuum", { symbol: pumpDown.unit })) : null;
}

/** On the limits sheet of the job: how high, and how long. */
const SHEET = { limit: "vacuum_limit_pa", hold: "vacuum_hold_s" };
export const OF_SHEET = "limits_sheet";

/** Down, never up: a hold of just that time must not fall short of what its field shows. */
const hoursOf = (seconds: number) => Math.floor((seconds / 3600) * 1e4) / 1e4;

/** The job's own limit first, where its sheet has one; then what is published. */
export function criteriaOf(view: JobView): Criterion[] {
  const limit = sheetLimit(SHEET.limit, { view });
  const hold = sheetLimit(SHEET.hold, { view });
  if (!limit || !hold) return CRITERIA;
  const { source, mark } = limit;
  const own: Criterion = {
    id: OF_SHEET,
    limit: { value: limit.value, unit: "Pa" },
    hours: hoursOf(hold.value),
    source,
    mark,
  };
  return [own, ...CRITERIA];
}

/** Where the numbers are the person's own: from the maker's manual, the contract, the limits sheet. */
export const OWN = "own";

/** What the limits sheet says stands there before anything is picked. */
export function sheetEntries(view: JobView): Entered {
  const own = criteriaOf(view).find((one) => one.id === OF_SHEET);
  return own ? { criterion: { text: own.id, unit: "" }, ...entriesOf(own) } : {};
}

function entriesOf({ limit, hours }: Criterion): Record<"limit_pa" | "hold_s", Entry> {
  return {
    limit_pa: known(limit.value, { unit: limit.unit }),
    hold_s: known(hours, { unit: "h" }),
  };
}

const same = (typed: Entry | undefined, { text, unit }: Entry) =>
  typed?.text === text && typed.unit === unit;

/** The document whose numbers are typed; none as soon as one of them is changed. */
export function criterionOf(
  { typed, picked }: HoldDraft,
  { view }: { view: JobView },
): Criterion | undefined {
  const found = criteriaOf(view).find((one) => one.id === picked["criterion"]);
  if (!found) return undefined;
  const entries = entriesOf(found);
  const isKept = same(typed["limit_pa"], entries.limit_pa) && same(typed["hold_s"], entries.hold_s);
  return isKept ? found : undefined;
}

export function withCriterion(
  draft: HoldDraft,
  { id, view }: { id: string; view: JobView },
): Partial<HoldDraft> {
  const found = criteriaOf(view).find((one) => one.id === id);
  const picked = { ...draft.picked, criterion: id };
  return found ? { picked, typed: { ...draft.typed, ...entriesOf(found) } } : { picked };
}

export function criterionOptions(view: JobView): { value: string; label: string }[] {
  const offered = criteriaOf(view).map(({ id, limit, hours, source, mark }) => ({
    value: id,
    label: t("hold.criterion_words", {
      limit: formatQuantity(limit.value, { significant: 4, unit: limit.unit }),
      hours: formatNumber(hours),
      source: sourceWords(source, { mark }),
    }),
  }));
  return [...offered, { value: OWN, label: t("hold.criterion_own") }];
}
