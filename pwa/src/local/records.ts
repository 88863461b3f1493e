/** What each store of the phone's database holds. */
import type { Mark, TableName } from "./rows";

export type BaseRecord = {
  table: TableName;
  id: string;
  job_id: string;
  rev: number;
  fields: Record<string, unknown>;
  /** Which reset of its job brought it, if it came with one. */
  reset?: string;
};

/** Here since before the reset that is under way, which has not brought it so far. */
export function isLeftOver(row: BaseRecord, reset: string | undefined): boolean {
  return reset !== undefined && row.reset !== reset;
}

/** None where an older app in another tab has gone on from there: what that brings bears no mark. */
export function resetUnderWay(known: CursorRecord | undefined): string | undefined {
  const isThere = JSON.stringify(known?.reset_at) === JSON.stringify(known?.cursor);
  return isThere ? known?.reset : undefined;
}

export type OverlayRecord = {
  /** Order of writing on this phone. */
  n: number;
  mutation_id: string;
  job_id: string;
  table: TableName;
  id: string;
  fields: Record<string, unknown>;
  /** True where the row came to be on this phone; false where a known row was changed. */
  makes: boolean;
  /** The job rev at which the server applied it; null until its receipt is stored. */
  rev: number | null;
};

export type MutationType =
  | "job.create"
  | "visit.plan"
  | "visit.set"
  | "visit.cancel"
  | "visit.close"
  | "issue.raise"
  | "issue.set"
  | "issue.answer"
  | "issue.prove"
  | "issue.send_back"
  | "issue.accept"
  | "step.mark"
  | "reading.record"
  | "photo.add"
  | "photo.mark"
  | "unit.set";

/** One thing a person did, as it travels; `seq` is its place in the lane of this device and job. */
export type Mutation = {
  id: string;
  seq: number;
  type: MutationType;
  v: 1;
  entity: string;
  base_rev: number;
  fields: Record<string, unknown>;
  /** Shown, never used for order: phones have wrong clocks. */
  device_time: string;
  app: string;
  /** The one that was set aside and is sent again with this: the server does not do both. */
  replaces?: string;
};
export type OutboxRecord = Mutation & {
  job_id: string;
  /** Counts what was written on this phone on its job. It stays, while `seq` may be dealt anew. */
  written?: number;
  /** It had its receipt, and is offered again to a server that may have lost it. */
  again?: OfferedAgain;
};

/** Of its receipt: how old it is, where it stood, and what showed of it, should yet another server have lost it. */
export type OfferedAgain = Pick<ReceiptRecord, "stored_at" | "device_id" | "seq" | "shown">;

export type LaneRecord = { job_id: string; last_seq: number; written?: number };

export type Outcome = "applied" | "merged" | "two_values" | "refused" | "set_aside";
export type ReceiptDetail = { code?: string; message?: string; fields?: unknown } | null;
export type Receipt = {
  id: string;
  seq: number;
  outcome: Outcome;
  rev: number;
  detail: ReceiptDetail;
};
/**
 * Receipts keep their mutation, so that it can be offered again under the same id to a server that
 * was restored from a backup.
 */
export type ReceiptRecord = Receipt & {
  job_id: string;
  device_id: string;
  stored_at: string;
  mutation: OutboxRecord;
  /** It was not taken, and its author sent it again or gave it up. */
  is_dealt_with?: boolean;
  /** What was laid over the rows for it: shown again while a restored server is offered it again. */
  shown: OverlayRecord[];
};

/**
 * `photo_unsent`: access to its job ended before its bytes were sent; they are on this phone only.
 * `photo_gone`: the server waits for them, and this phone no longer has them.
 * `photo_not_taken`: the server said no to them more than once; tried again now and then all the same.
 * `photo_damaged`: this phone has them and cannot read them.
 */
export type AttentionOutcome =
  | "refused"
  | "set_aside"
  | "photo_refused"
  | "photo_unsent"
  | "photo_gone"
  | "photo_not_taken"
  | "photo_damaged";
export type AttentionRecord = {
  /** The mutation's id, or the photo's. */
  id: string;
  job_id: string;
  type: string;
  entity: string;
  fields: Record<string, unknown>;
  device_time: string;
  outcome: AttentionOutcome;
  code: string;
  message: string;
  problem_fields: Record<string, string>;
  at: string;
  /** Where it was done, and its place in that device's lane: which came first, whatever clocks did. */
  device_id?: string;
  seq?: number;
  /** The epoch of the server that had it on its list: once missing there, it has been dealt with. */
  told_in?: string;
  /** Its author has seen it and decides later: no screen asks for attention on its account. */
  kept_at?: string;
  /** Of a job whose rows have left this phone: its author must know what to ask the office about. */
  job_name?: string;
  /** The issue and the unit that it is about, as they were called when it was not taken. */
  issue_number?: number;
  unit_tag?: string;
};

/** Dealt with on this phone: the server is told at the next round, and shows it to its author no more. */
export type SettledRecord = { id: string; settled_at: string };

export type PhotoBlobRecord = { id: string; blob: Blob };
export type UploadRecord = {
  id: string;
  job_id: string;
  taken_at: string;
  /** Set before the first byte leaves: from then on the server is asked how much it has. */
  started_at: string | null;
  /** Set when the server has every byte; the photo stays until a pull says that it is stored. */
  uploaded_at: string | null;
  /** Refused by the server: it stays on this phone and is not sent until somebody mends it. */
  held: boolean;
  /** How often, and when last, the server answered that it does not take it, or it could not be read. */
  declined?: { times: number; at: string } | undefined;
};
export type ThumbRecord = { id: string; size: "thumb" | "large"; blob: Blob; kept_at: string };

export type CaptureIntent = {
  /** The screen that opened the camera, with its query. */
  path: string;
  /** Under which key that screen keeps what was typed. */
  draft_key: string;
  opened_at: string;
};
export type IntentRecord = CaptureIntent & { id: "camera" };

export type DraftRecord = { key: string; value: unknown; saved_at: string };
/** A picture of a draft, one record each: never read more than one at a time. */
export type DraftPictureRecord = {
  /** Of the draft that it belongs to. */
  key: string;
  sha256: string;
  size: PictureSize;
  blob: Blob;
};
export type PictureSize = "full" | "thumb";
/** What a draft says of one of its photos: everything but the pictures. */
export type DraftPhoto = {
  sha256: string;
  size_bytes: number;
  width_px: number;
  height_px: number;
  taken_at: string;
  marks?: Mark[];
};
/** A draft about something that has left this phone: its author must know what became of it. */
export type EndedDraftRecord = {
  key: string;
  job_id: string;
  job_name: string;
  /** Where the job stays, and only this row of it has left. */
  row?: [TableName, string];
  /** Its author has seen it and decides later. */
  kept_at?: string;
};

export type CursorRecord = {
  job_id: string;
  /** The server's own; carried back as it came. */
  cursor: unknown;
  /** The server no longer shows this job: purged as soon as nothing unsent is left. */
  gone: boolean;
  /** The reset of which pages are still to come. */
  reset?: string;
  /** The cursor that it has reached. */
  reset_at?: unknown;
  /** When the rows were last compared with the server's checksum. */
  checked_at?: string;
  /** The server's sums for which the job was read again from the start: not twice for the same. */
  read_again_for?: string;
};
export type MetaRecord = { name: string; value: unknown };
/** `trial`: for a moment, to find out whether there is room. */
export type BallastRecord = { id: "ballast" | "trial"; blob: Blob };
