/** What the engine takes and gives: see `server/flarenut/trade`, `flarenut compute --list`. */

export type EngineError = {
  code:
    | "missing"
    | "not_a_number"
    | "out_of_range"
    | "contradictory"
    | "not_a_choice"
    | "unknown_calculation"
    | "bad_json"
    /** The engine itself did not run; not a fault of the input. */
    | "engine_failed";
  field: string;
  message: string;
  limits: { low: number; high: number; unit: string } | null;
};

export type Computed<T> = { ok: true; result: T } | { ok: false; error: EngineError };

export type Verdict = "pass" | "fail" | "unclear";
/** How well a number is founded: read in the source, library, by hand, practice, memory. */
export type Mark = "S" | "L" | "H" | "P" | "M";
export type Reason = { code: string; values: Record<string, unknown> };
/** Seconds. */
export type Duration = { low: number; likely: number; high: number };
export type Side = "refrigerant" | "controls" | "supply" | "test_run";
export type Who = "contractor" | "technician" | "dispatcher" | "electrician" | "customer";

export type SupplyInput = {
  v_ab_v: number;
  v_bc_v: number;
  v_ca_v: number;
  nominal_v: number;
  rotation: "forward" | "reverse" | "not_measured";
  i_a_a?: number;
  i_b_a?: number;
  i_c_a?: number;
  unbalance_limit_pct?: number;
  unbalance_limit_source?: string;
  unbalance_limit_mark?: Mark;
  tolerance_pct?: number;
  tolerance_source?: string;
  tolerance_mark?: Mark;
};

export type SupplyVerdict = {
  mean_v: number;
  unbalance_pct: number;
  true_unbalance_pct: number;
  deviation_pct: number;
  current_unbalance_pct: number | null;
  verdict: Verdict;
  reasons: Reason[];
  next: string[];
  cautions: string[];
};

export type RoundInput = {
  units: {
    unit: string;
    tag?: string;
    floor: string;
    floor_order?: number;
    place?: string | null;
  }[];
  start?: string;
};

export type RoundOrder = {
  order: string[];
  length: number;
  floors_climbed: number;
  places_changed: number;
};

export type IssueCategory = {
  code: string;
  stops: Side[];
  opens_circuit: boolean;
  who_must_act: Who;
  /** Codes of texts. */
  action: string;
  evidence: string;
  cautions: string[];
  bring: string[];
  repair_s: Duration;
  proof_s: Duration;
  source: string;
  mark: Mark;
};

export type IssueCategories = { categories: IssueCategory[] };

export type JobPlanInput = {
  now: number;
  zone: { utc_offset_s: number; changes: { at_s: number; utc_offset_s: number }[] };
  job: { shift_start: string; shift_end: string; shift_days: number[] };
  crew?: { technician?: number; contractor?: number };
  systems: object[];
  units: object[];
  steps: object[];
  issues: object[];
  durations?: Record<string, Duration>;
};

export type Cause = { kind: "step" | "issue"; id: string };

export type PlanGroup = {
  id: string;
  system_id: string;
  code: string;
  side: Side | "other";
  part: "part_one" | "between" | "part_two";
  who: "technician" | "contractor";
  calendar: "shift" | "clock";
  state: "done" | "doable" | "partly" | "gated" | "failed";
  done: number;
  total: number;
  doable_units: string[];
  stopped_units: string[];
  why: Cause[];
  /** All issues that stand anywhere before this group, not only the nearest causes. */
  root_issues: string[];
  reset_by: string[];
  duration_s: Duration;
  doable_s: number;
  source: string;
  mark: Mark;
};

export type PlannedWork = {
  id: string;
  kind: "step" | "repair" | "proof" | "visit";
  who: Who;
  calendar: "shift" | "clock";
  group_id: string | null;
  issue_id: string | null;
  start_s: number;
  finish_s: number;
  critical: boolean;
};

export type JobPlan = {
  groups: PlanGroup[];
  /** Groups of the technician of which something can be done at once. */
  doable_now: string[];
  doable_now_s: number;
  /** Groups the technician reaches one after the other, waiting for nobody. */
  doable_this_visit: string[];
  doable_this_visit_s: number;
  gated: { step: string; why: Cause[]; root_issues: string[] }[];
  resets: { issue: string; steps: string[] }[];
  headline: {
    issue_id: string | null;
    stopped_count: number;
    doable_count: number;
    doable_s: number;
  };
  schedule: PlannedWork[];
  ready_at: number;
  ready_at_best: number;
  ready_at_late: number;
  visit_s: Duration;
  visit_start_at: number | null;
  bring: string[];
  must_be_proved_first: string[];
  waits_for: {
    issue_id: string | null;
    group_id: string | null;
    promised_at: number | null;
    overdue: boolean;
  }[];
  state: "wait_contractor" | "to_book" | "nothing_left";
  reasons: Reason[];
};

/** The plan run many times with drawn hours. */
export type JobChance = {
  /** 0 to 1: the share of the runs in which the site is ready at the moment asked about. */
  chance: number;
  ready_at_p50: number;
  ready_at_p80: number;
  runs: number;
  state: JobPlan["state"];
  reasons: Reason[];
  cautions: string[];
};
