import type { FieldsOf, IssueEventKind } from "../local/rows";
import { uuid7 } from "../local/uuid7";
import type {
  IssueAcceptFields,
  IssueAnswerFields,
  IssueRaiseFields,
  IssueSetFields,
  WordsFields,
} from "./fields";
import type { Overlay, Seen } from "./mirror";

type Told = { words?: string | null; promised_on?: string | null };

function issue(seen: Seen, fields: Partial<FieldsOf<"issue">>): Overlay {
  return { table: "issue", id: seen.id, fields, makes: false };
}

/** A line of the issue's history. The server writes its own; this one goes when that arrives. */
function event(seen: Seen, kind: IssueEventKind, told: Told): Overlay {
  const fields: FieldsOf<"issue_event"> = {
    issue_id: seen.id,
    kind,
    words: told.words ?? null,
    promised_on: told.promised_on ?? null,
    by_name: seen.by.name,
    by_person_id: seen.by.person_id,
    by_role: seen.by.role,
    at: seen.by.at,
  };
  return { table: "issue_event", id: uuid7(), fields, makes: true };
}

export async function mirrorRaise(fields: IssueRaiseFields, seen: Seen): Promise<Overlay[]> {
  const unit = fields.unit_id ? await seen.row({ table: "unit", id: fields.unit_id }) : undefined;
  const row: FieldsOf<"issue"> = {
    ...fields,
    number: null,
    system_id: unit?.system_id ?? null,
    state: "open",
    raised_at: seen.by.at,
    raised_by_name: seen.by.name,
    promised_on: null,
    answered_at: null,
    answered_by_name: null,
    proved_by_name: null,
    closed_at: null,
    times_reopened: 0,
    accepted_by_name: null,
    accepted_reason: null,
  };
  return [
    { table: "issue", id: seen.id, fields: row, makes: true },
    event(seen, "raised", { words: fields.words }),
  ];
}

export async function mirrorIssueSet(fields: IssueSetFields, seen: Seen): Promise<Overlay[]> {
  return [issue(seen, fields), event(seen, "changed", {})];
}

export async function mirrorAnswer(fields: IssueAnswerFields, seen: Seen): Promise<Overlay[]> {
  const { words, fixed, promised_on } = fields;
  if (!fixed) {
    return [issue(seen, { promised_on }), event(seen, "promised", { words, promised_on })];
  }
  const answered = {
    state: "answered",
    promised_on,
    answered_at: seen.by.at,
    answered_by_name: seen.by.name,
  } as const;
  return [issue(seen, answered), event(seen, "answered", { words, promised_on })];
}

export async function mirrorProve(fields: WordsFields, seen: Seen): Promise<Overlay[]> {
  const proved = {
    state: "proved",
    proved_by_name: seen.by.name,
    closed_at: seen.by.at,
  } as const;
  return [issue(seen, proved), event(seen, "proved", fields)];
}

export async function mirrorSendBack(fields: WordsFields, seen: Seen): Promise<Overlay[]> {
  const before = await seen.row({ table: "issue", id: seen.id });
  const sentBack = {
    state: "sent_back",
    times_reopened: (before?.times_reopened ?? 0) + 1,
    closed_at: null,
  } as const;
  return [issue(seen, sentBack), event(seen, "sent_back", fields)];
}

export async function mirrorAccept(fields: IssueAcceptFields, seen: Seen): Promise<Overlay[]> {
  const accepted = {
    state: "accepted",
    accepted_by_name: fields.name,
    accepted_reason: fields.reason,
    closed_at: seen.by.at,
  } as const;
  return [issue(seen, accepted), event(seen, "accepted", { words: fields.reason })];
}
