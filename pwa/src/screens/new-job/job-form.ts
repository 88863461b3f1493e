import type { CheckedSheet } from "../../actions/checkSheet";
import { hereZone } from "../../format/here";
import type { UnitKind } from "../../local/rows";
import type { TextKey } from "../../text";
import type { VisitForm } from "../book/visit-form";

export interface JobForm {
  name: string;
  address: string;
  firm: string;
  zone: string;
  shiftStart: string;
  shiftEnd: string;
  shiftDays: string[];
  sheet: { file: string; checked: CheckedSheet } | null;
  visit: VisitForm;
}

/** The limit of the server's columns. */
const LONGEST = 200;

export function emptyJob(): JobForm {
  return {
    name: "",
    address: "",
    firm: "",
    zone: hereZone(),
    shiftStart: "07:00",
    shiftEnd: "15:30",
    shiftDays: ["1", "2", "3", "4", "5"],
    sheet: null,
    visit: { purpose: "part_one", day: "", start: "07:00", hours: 8, personId: "", note: "" },
  };
}

type JobField = "name" | "address" | "firm" | "shiftEnd" | "shiftDays" | "sheet";
export type JobProblems = Partial<Record<JobField, TextKey>>;

function textProblem(text: string): TextKey | undefined {
  if (text.trim() === "") return "new_job.field.missing";
  return text.length > LONGEST ? "new_job.field.too_long" : undefined;
}

function sheetProblem(sheet: JobForm["sheet"]): TextKey | undefined {
  if (!sheet) return "new_job.sheet_missing";
  return isClean(sheet.checked) ? undefined : "new_job.sheet_not_clean";
}

/** Nothing is imported until every row of the sheet can be. */
export function isClean({ errors, units }: CheckedSheet): boolean {
  return errors.length === 0 && units.length > 0;
}

export function jobProblems(form: JobForm): JobProblems {
  const found: [JobField, TextKey | undefined][] = [
    ["name", textProblem(form.name)],
    ["address", textProblem(form.address)],
    ["firm", textProblem(form.firm)],
    ["shiftEnd", form.shiftEnd > form.shiftStart ? undefined : "new_job.field.shift"],
    ["shiftDays", form.shiftDays.length > 0 ? undefined : "new_job.field.days"],
    ["sheet", sheetProblem(form.sheet)],
  ];
  return Object.fromEntries(found.filter(([, problem]) => problem !== undefined));
}

const KINDS: readonly UnitKind[] = [
  "outdoor_module",
  "branch_box",
  "joint",
  "indoor_unit",
  "wall_controller",
  "central_controller",
];

/** How many of each kind stand on the sheet, in the order of the pipe. */
export function countsByKind({ counts }: CheckedSheet): { kind: UnitKind; count: number }[] {
  return KINDS.map((kind) => ({ kind, count: counts[kind] ?? 0 })).filter(({ count }) => count > 0);
}
