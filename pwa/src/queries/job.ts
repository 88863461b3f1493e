/** One job as its screens read it. */
import type { ReadonlySignal } from "@preact/signals";
import type { Merged } from "../local/merge";
import type {
  IssueEventRow,
  IssueRow,
  JobRow,
  LimitRow,
  PhotoRow,
  ReadingRow,
  StepRow,
  SystemRow,
  UnitRow,
  VisitRow,
} from "../local/rows";
import { keyOf, startLive } from "./live";
import { inOrderMade } from "./made";
import { readMerged } from "./rows";
import { type Start, useShared } from "./shared";

export type JobView = {
  job: JobRow;
  systems: SystemRow[];
  /** By floor, then tag. */
  units: UnitRow[];
  visits: VisitRow[];
  steps: StepRow[];
  /** By number; those without one yet last. */
  issues: IssueRow[];
  /** As the server took them, like readings and photos; what is unsent last. */
  events: IssueEventRow[];
  readings: ReadingRow[];
  photos: PhotoRow[];
  limits: LimitRow[];
  systemById: Map<string, SystemRow>;
  unitById: Map<string, UnitRow>;
  visitById: Map<string, VisitRow>;
  stepById: Map<string, StepRow>;
  issueById: Map<string, IssueRow>;
  stepsByUnit: Map<string, StepRow[]>;
  issuesByUnit: Map<string, IssueRow[]>;
  readingsByUnit: Map<string, ReadingRow[]>;
  eventsByIssue: Map<string, IssueEventRow[]>;
  photosByIssue: Map<string, PhotoRow[]>;
  photosByUnit: Map<string, PhotoRow[]>;
  photosByReading: Map<string, PhotoRow[]>;
};

/** undefined while it is read; null when this phone has no such job. */
export function useJob(jobId: string): ReadonlySignal<JobView | null | undefined> {
  return useShared(jobKey(jobId), startJob(jobId));
}

export function jobKey(jobId: string): string {
  return keyOf(`job/${jobId}`);
}

export function startJob(jobId: string): Start<JobView | null> {
  return startLive(async (store) => viewOf(await readMerged(store, jobId)));
}

export function viewOf(rows: Merged): JobView | null {
  const job = rows.job[0];
  if (!job) {
    return null;
  }
  const systems = rows.system.toSorted(byTag);
  const units = rows.unit.toSorted(byPlace);
  const visits = rows.visit.toSorted((a, b) => a.starts_at.localeCompare(b.starts_at));
  const issues = rows.issue.toSorted(byNumber);
  const events = inOrderMade(rows.issue_event);
  const readings = inOrderMade(rows.reading);
  const photos = inOrderMade(rows.photo);
  return {
    job,
    systems,
    units,
    visits,
    steps: rows.step,
    issues,
    events,
    readings,
    photos,
    limits: rows.limit,
    systemById: byId(systems),
    unitById: byId(units),
    visitById: byId(visits),
    stepById: byId(rows.step),
    issueById: byId(issues),
    stepsByUnit: groupBy(rows.step, (step) => step.unit_id),
    issuesByUnit: groupBy(issues, (issue) => issue.unit_id),
    readingsByUnit: groupBy(readings, (reading) => reading.unit_id),
    eventsByIssue: groupBy(events, (event) => event.issue_id),
    photosByIssue: groupBy(photos, (photo) => photo.issue_id),
    photosByUnit: groupBy(photos, (photo) => photo.unit_id),
    photosByReading: groupBy(photos, (photo) => photo.reading_id),
  };
}

function byId<T extends { id: string }>(rows: T[]): Map<string, T> {
  return new Map(rows.map((row) => [row.id, row]));
}

function groupBy<T>(rows: T[], keyOfRow: (row: T) => string | null | undefined): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const key = keyOfRow(row);
    if (key) {
      groups.set(key, [...(groups.get(key) ?? []), row]);
    }
  }
  return groups;
}

/** Tags are read as people read them: unit 2 before unit 10. */
const tags = new Intl.Collator("en", { numeric: true });

function byTag(a: { tag: string }, b: { tag: string }): number {
  return tags.compare(a.tag, b.tag);
}

function byPlace(a: UnitRow, b: UnitRow): number {
  return (a.floor_order ?? 0) - (b.floor_order ?? 0) || byTag(a, b);
}

/** Given in order of arrival. Those without one stay as they were written on this phone. */
export function byNumber(a: IssueRow, b: IssueRow): number {
  const [first, second] = [
    a.number ?? Number.MAX_SAFE_INTEGER,
    b.number ?? Number.MAX_SAFE_INTEGER,
  ];
  return first - second;
}
