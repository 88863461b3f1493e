/** The fields of each mutation as they travel: the same names as in the server's shapes. */
import type {
  Entered,
  FieldsOf,
  Instrument,
  Mark,
  Side,
  StepState,
  UnitKind,
  Verdict,
  VisitPurpose,
  VisitSummary,
  WhoMustAct,
} from "../local/rows";

export type NewSystem = {
  id: string;
  tag: string;
  kind: "heat_recovery" | "heat_pump";
  refrigerant: string;
  nominal_v: number | null;
};
export type NewUnit = {
  id: string;
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
  line_size?: string | null;
  line_length_m?: number | null;
  model_note: string | null;
};

export type JobCreateFields = {
  name: string;
  address: string;
  contractor_firm: string;
  time_zone: string;
  shift_start: string;
  shift_end: string;
  shift_days: number[];
  invented: boolean;
  systems: NewSystem[];
  units: NewUnit[];
  /** What the sheet says for the whole job, by name, and `source`. */
  limits?: SheetLimits;
};
export type SheetLimits = Record<string, number | string>;
export type VisitPlanFields = {
  purpose: VisitPurpose;
  starts_at: string;
  planned_s: number;
  person_id: string;
  note: string | null;
};
export type VisitSetFields = Partial<VisitPlanFields>;
export type VisitCancelFields = { note: string | null };
export type VisitCloseFields = { summary: VisitSummary; note: string | null };
export type IssueRaiseFields = {
  unit_id: string | null;
  category: string;
  words: string;
  action: string;
  evidence: string;
  stops: Side[];
  opens_circuit: boolean;
  who_must_act: WhoMustAct;
  visit_id: string | null;
  due_on: string | null;
};
export type IssueSetFields = Partial<Omit<IssueRaiseFields, "visit_id">>;
export type IssueAnswerFields = { words: string; fixed: boolean; promised_on: string | null };
export type WordsFields = { words: string };
export type IssueAcceptFields = { name: string; reason: string };
export type StepMarkFields = { state?: StepState; note: string | null };
export type ReadingFields = {
  calculation: string;
  system_id: string | null;
  unit_id: string | null;
  step_id: string | null;
  visit_id: string | null;
  inputs: Record<string, unknown>;
  entered: Entered;
  outputs: Record<string, unknown>;
  verdict: Verdict | null;
  engine_version: string;
  instrument: Instrument | null;
  reason: string | null;
  replaces_id: string | null;
  taken_at: string;
};
export type PhotoOwner = { issue_id: string } | { reading_id: string } | { unit_id: string };
export type PhotoAddFields = PhotoOwner &
  Pick<
    FieldsOf<"photo">,
    "sha256" | "size_bytes" | "width_px" | "height_px" | "taken_at" | "marks"
  >;
export type PhotoMarkFields = { marks: Mark[] };
export type UnitSetFields = Partial<
  Pick<
    NewUnit,
    | "floor"
    | "floor_order"
    | "place"
    | "room"
    | "room_m3"
    | "group_address"
    | "central_address"
    | "feeder"
    | "model_note"
  >
>;
