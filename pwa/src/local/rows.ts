/** The rows of a job: the same names here, on the wire and in the server's columns. */

import type { PlanGroup } from "../trade/types";

export type Role = "technician" | "dispatcher" | "contractor";
export type Side = "refrigerant" | "controls" | "supply" | "test_run";
export type WhoMustAct = "contractor" | "technician" | "dispatcher" | "electrician" | "customer";
export type IssueState = "open" | "answered" | "proved" | "sent_back" | "accepted";
export type StepState = "todo" | "done" | "failed" | "not_applicable";
export type Verdict = "pass" | "fail" | "unclear";
export type UnitKind =
  | "outdoor_module"
  | "branch_box"
  | "joint"
  | "indoor_unit"
  | "wall_controller"
  | "central_controller";

/** Another value of a field that people changed at once; it stays until a person picks. */
export type OtherValue = {
  value: unknown;
  by_name: string;
  at: string;
  /** Who set the value that counts; a server of before that does not say it. */
  now_by_name?: string;
  now_at?: string;
  /** The value that this one had pushed aside. */
  before?: OtherValue;
};

type Row = {
  id: string;
  job_id: string;
  /** The job rev at which the server last changed the row; 0 while only this phone knows it. */
  rev: number;
  /** True while something about the row is not yet acknowledged by the server. */
  pending: boolean;
};
type MutableRow = Row & { two_values?: Record<string, OtherValue> };
/** The job rev at which the server took the row, and the same ever after; it says which was made first. */
type MadeRow = { made_rev?: number };

export type JobRow = MutableRow & {
  name: string;
  address: string;
  contractor_firm: string;
  time_zone: string;
  shift_start: string;
  shift_end: string;
  shift_days: number[];
  state: "open" | "finished";
  invented: boolean;
  created_at: string;
};

export type SystemRow = MutableRow & {
  tag: string;
  kind: "heat_recovery" | "heat_pump";
  refrigerant: string;
  nominal_v: number | null;
  supply_tolerance_pct: number | null;
  unbalance_limit_pct: number | null;
};

export type UnitRow = MutableRow & {
  system_id: string | null;
  kind: UnitKind;
  tag: string;
  floor: string | null;
  floor_order: number | null;
  place: string | null;
  room: string | null;
  room_m3: number | null;
  parent_id: string | null;
  port: number | null;
  port_count: number | null;
  group_address: string | null;
  central_address: string | null;
  feeder: string | null;
  /** The liquid line that leads to it: a size of the tube table, and how long. Rows kept by an earlier app lack them. */
  line_size?: string | null;
  line_length_m?: number | null;
  model_note: string | null;
};

export type VisitPurpose = "part_one" | "part_two" | "follow_up";
export type VisitSummary = {
  done: { system_id: string; code: string; count: number }[];
  not_done: {
    system_id: string;
    code: string;
    /** Summaries written by an earlier app lack it. */
    state?: PlanGroup["state"];
    why: unknown[];
    words: string;
  }[];
  issues_open: number;
};
export type VisitRow = MutableRow & {
  purpose: VisitPurpose;
  state: "planned" | "closed" | "cancelled";
  starts_at: string;
  planned_s: number;
  person_id: string | null;
  person_name: string | null;
  /** Contractors do not get the note. */
  note?: string | null;
  summary: VisitSummary | null;
  closed_at: string | null;
};

export type StepRow = MutableRow & {
  system_id: string;
  unit_id: string | null;
  code: string;
  state: StepState;
  done_at: string | null;
  done_by_name: string | null;
  note: string | null;
  reading_id: string | null;
  reset_by: string | null;
};

export type IssueRow = MutableRow & {
  /** Given by the server; null until it comes back. */
  number: number | null;
  unit_id: string | null;
  system_id: string | null;
  category: string;
  words: string;
  action: string;
  evidence: string;
  stops: Side[];
  opens_circuit: boolean;
  who_must_act: WhoMustAct;
  state: IssueState;
  visit_id: string | null;
  raised_at: string;
  raised_by_name: string;
  due_on: string | null;
  promised_on: string | null;
  answered_at: string | null;
  answered_by_name: string | null;
  proved_by_name: string | null;
  closed_at: string | null;
  times_reopened: number;
  accepted_by_name: string | null;
  accepted_reason: string | null;
};

export type IssueEventKind =
  | "raised"
  | "changed"
  | "answered"
  | "promised"
  | "proved"
  | "sent_back"
  | "accepted";
export type IssueEventRow = Row &
  MadeRow & {
    issue_id: string;
    kind: IssueEventKind;
    words: string | null;
    promised_on: string | null;
    by_name: string;
    /** Null for a contractor; contractors do not get it. */
    by_person_id?: string | null;
    by_role: Role;
    at: string;
  };

/** What was typed, kept as typed with its unit; never converted. */
export type Entered = Record<string, { text: string; unit: string }>;
export type Instrument = {
  name: string;
  range: string;
  resolution: string;
  calibrated_on: string | null;
  /** Where one reading takes several: those besides the first. */
  others?: Instrument[];
};
export type ReadingRow = Row &
  MadeRow & {
    calculation: string;
    system_id: string | null;
    unit_id: string | null;
    step_id: string | null;
    visit_id: string | null;
    inputs: Record<string, unknown>;
    entered: Entered;
    outputs: Record<string, unknown>;
    server_outputs: Record<string, unknown> | null;
    /** Null where nothing is judged: a figure without a limit. */
    verdict: Verdict | null;
    engine_version: string;
    differs: boolean;
    instrument: Instrument | null;
    reason: string | null;
    taken_at: string;
    by_name: string;
    replaces_id: string | null;
  };

/** A place on a picture: parts of its width and height, 0 to 1 from its upper left corner. */
export type Share = [number, number];
export type MarkTool = "arrow" | "ring" | "line";
/** Drawn over a photo wherever it shows: an arrow's two ends, a ring's two corners, a line's points. */
export type Mark = { tool: MarkTool; points: Share[] };
export type PhotoRow = MutableRow &
  MadeRow & {
    issue_id: string | null;
    reading_id: string | null;
    unit_id: string | null;
    sha256: string;
    size_bytes: number;
    width_px: number;
    height_px: number;
    state: "pending" | "stored" | "refused";
    refused_reason: string | null;
    taken_at: string;
    by_name: string;
    /** Only ever added to. */
    marks: Mark[];
  };

export type LimitRow = MutableRow & {
  name: string;
  value: number;
  unit: string;
  source: string;
  mark: "S" | "L" | "H" | "P" | "M";
};

export type RowOf = {
  job: JobRow;
  system: SystemRow;
  unit: UnitRow;
  visit: VisitRow;
  step: StepRow;
  issue: IssueRow;
  issue_event: IssueEventRow;
  reading: ReadingRow;
  photo: PhotoRow;
  limit: LimitRow;
};
export type TableName = keyof RowOf;
/** The fields of a row without what every row carries. */
export type FieldsOf<T extends TableName> = Omit<RowOf[T], "id" | "job_id" | "rev" | "pending">;
