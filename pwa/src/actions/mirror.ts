/**
 * What the phone shows the moment something is done: for each mutation, the rows that the server's
 * verb of the same name will make or change. It stays until a pull brings the server's own rows.
 * Steps that an opened circuit resets are not mirrored: the engine derives them from the issue.
 */
import type { MutationType, OverlayRecord } from "../local/records";
import type { Role, RowOf, TableName } from "../local/rows";
import {
  mirrorAccept,
  mirrorAnswer,
  mirrorIssueSet,
  mirrorProve,
  mirrorRaise,
  mirrorSendBack,
} from "./mirror_issue";
import {
  mirrorJobCreate,
  mirrorUnitSet,
  mirrorVisitCancel,
  mirrorVisitClose,
  mirrorVisitPlan,
  mirrorVisitSet,
} from "./mirror_job";
import { mirrorPhotoAdd, mirrorPhotoMark, mirrorReading, mirrorStepMark } from "./mirror_work";

export type Overlay = Pick<OverlayRecord, "table" | "id" | "fields" | "makes">;

/** What a mirror may see: the row it is about, who acts, and rows of the same job. */
export type Seen = {
  id: string;
  by: { person_id: string | null; name: string; role: Role; at: string };
  row: <T extends TableName>(key: { table: T; id: string }) => Promise<RowOf[T] | undefined>;
  /** As the server last told; null for someone this phone does not know. */
  personName: (id: string) => Promise<string | null>;
};
/** Only the store may be awaited inside: anything else would end the transaction. */
export type Mirror = (fields: never, seen: Seen) => Promise<Overlay[]>;

type Entry = { table: TableName; makes: boolean; mirror: Mirror };

export const MIRRORS: Record<MutationType, Entry> = {
  "job.create": { table: "job", makes: true, mirror: mirrorJobCreate },
  "visit.plan": { table: "visit", makes: true, mirror: mirrorVisitPlan },
  "visit.set": { table: "visit", makes: false, mirror: mirrorVisitSet },
  "visit.cancel": { table: "visit", makes: false, mirror: mirrorVisitCancel },
  "visit.close": { table: "visit", makes: false, mirror: mirrorVisitClose },
  "issue.raise": { table: "issue", makes: true, mirror: mirrorRaise },
  "issue.set": { table: "issue", makes: false, mirror: mirrorIssueSet },
  "issue.answer": { table: "issue", makes: false, mirror: mirrorAnswer },
  "issue.prove": { table: "issue", makes: false, mirror: mirrorProve },
  "issue.send_back": { table: "issue", makes: false, mirror: mirrorSendBack },
  "issue.accept": { table: "issue", makes: false, mirror: mirrorAccept },
  "step.mark": { table: "step", makes: false, mirror: mirrorStepMark },
  "reading.record": { table: "reading", makes: true, mirror: mirrorReading },
  "photo.add": { table: "photo", makes: true, mirror: mirrorPhotoAdd },
  "photo.mark": { table: "photo", makes: false, mirror: mirrorPhotoMark },
  "unit.set": { table: "unit", makes: false, mirror: mirrorUnitSet },
};
