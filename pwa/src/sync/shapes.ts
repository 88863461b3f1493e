/** What the server may answer, checked before any of it is stored. */
import * as v from "valibot";

const TABLES = [
  "job",
  "system",
  "unit",
  "visit",
  "step",
  "issue",
  "issue_event",
  "reading",
  "photo",
  "limit",
] as const;

const Id = v.pipe(v.string(), v.minLength(1));
const Rev = v.pipe(v.number(), v.integer(), v.minValue(0));

const ReceiptShape = v.object({
  id: Id,
  seq: Rev,
  outcome: v.picklist(["applied", "merged", "two_values", "refused", "set_aside"]),
  rev: v.nullish(Rev, 0),
  detail: v.nullish(
    v.looseObject({
      code: v.optional(v.string()),
      message: v.optional(v.string()),
      fields: v.optional(v.unknown()),
    }),
    null,
  ),
});

export const PushAnswer = v.object({
  lanes: v.array(
    v.object({
      job_id: Id,
      last_seq: v.nullish(Rev, 0),
      receipts: v.nullish(v.array(ReceiptShape), []),
      error: v.nullish(v.looseObject({ code: v.string(), message: v.optional(v.string()) }), null),
    }),
  ),
});
export type PushedLane = v.InferOutput<typeof PushAnswer>["lanes"][number];
export type PushedReceipt = PushedLane["receipts"][number];

/** A table that this version of the app does not know is left out; a newer app pulls it again. */
const WireRow = v.object({
  table: v.string(),
  id: Id,
  job_id: Id,
  rev: Rev,
  fields: v.record(v.string(), v.unknown()),
});

export const PullAnswer = v.object({
  jobs: v.array(
    v.object({
      job_id: Id,
      state: v.picklist(["same", "patch", "reset", "gone"]),
      rows: v.nullish(v.array(WireRow), []),
      removals: v.nullish(v.array(v.looseObject({ table: v.string(), id: Id })), []),
      cursor: v.unknown(),
      more: v.nullish(v.boolean(), false),
      last_seq: v.nullish(Rev, 0),
    }),
  ),
  people_rev: v.nullish(v.number(), 0),
  /** Sent back, it asks whether anything changed; `changed` is the answer to that. */
  mark: v.nullish(v.string()),
  changed: v.nullish(v.boolean(), false),
  /** Whoever asks is of the company no more. */
  ended: v.nullish(v.boolean(), false),
  /** Another one after a restore from a backup; not told to a mark. */
  epoch: v.nullish(v.string()),
  aside: v.nullish(v.string()),
  sums: v.nullish(v.record(v.string(), v.record(v.string(), v.string())), {}),
});
export type PulledJob = v.InferOutput<typeof PullAnswer>["jobs"][number];

/** What the author is told of a mutation that was kept aside, and the mutation as it was sent. */
const AsideShape = v.object({
  id: Id,
  job_id: Id,
  device_id: v.optional(Id),
  seq: v.optional(Rev),
  type: v.string(),
  entity: v.nullish(v.string(), null),
  outcome: v.string(),
  detail: v.looseObject({
    code: v.optional(v.string()),
    message: v.optional(v.string()),
    fields: v.optional(v.unknown()),
  }),
  at: v.string(),
  mutation: v.looseObject({
    fields: v.fallback(v.nullish(v.record(v.string(), v.unknown())), null),
    device_time: v.fallback(v.nullish(v.string()), null),
  }),
});
export type AsideItem = v.InferOutput<typeof AsideShape>;
export const SetAsideAnswer = v.object({
  items: v.array(AsideShape),
  more: v.nullish(v.boolean(), false),
  settled: v.nullish(v.array(Id), []),
  taken: v.nullish(v.array(Id), []),
  epoch: v.optional(Id),
});
export type SetAsidePage = v.InferOutput<typeof SetAsideAnswer>;

export type KnownTable = (typeof TABLES)[number];
export function isKnownTable(table: string): table is KnownTable {
  return (TABLES as readonly string[]).includes(table);
}

const CompanyShape = v.object({ id: Id, name: v.string() });
const RoleShape = v.picklist(["technician", "dispatcher", "contractor"]);
export const SignInAnswer = v.object({
  person: v.object({ id: Id, name: v.string(), role: RoleShape }),
  company: CompanyShape,
  device_id: Id,
});
export const LinkOpened = v.object({
  link: v.object({
    id: Id,
    firm: v.string(),
    recipient: v.nullish(v.string(), ""),
    job_id: Id,
    expires_at: v.string(),
  }),
  company: CompanyShape,
});
export const MeAnswer = v.object({
  person: v.nullish(v.looseObject({ id: Id })),
  link: v.nullish(v.looseObject({ id: Id })),
});
export const PeopleAnswer = v.object({
  people: v.array(v.object({ id: Id, name: v.string(), role: RoleShape })),
});

export const LinkShape = v.object({
  id: Id,
  firm: v.string(),
  recipient: v.nullish(v.string(), ""),
  created_at: v.string(),
  expires_at: v.string(),
  revoked_at: v.nullish(v.string(), null),
  last_opened_at: v.nullish(v.string(), null),
});
export const LinksAnswer = v.object({ links: v.array(LinkShape) });
export const NewLinkAnswer = v.object({
  link: LinkShape,
  secret: v.string(),
  url: v.string(),
  qr_svg: v.string(),
});

const Text = v.nullish(v.string(), null);
const Num = v.nullish(v.number(), null);
export const SheetAnswer = v.object({
  /** Of the whole job, with where they come from; empty where the sheet names none. */
  limits: v.optional(v.record(v.string(), v.union([v.number(), v.string()])), {}),
  systems: v.array(
    v.object({
      id: Id,
      tag: v.string(),
      kind: v.picklist(["heat_recovery", "heat_pump"]),
      refrigerant: v.string(),
      nominal_v: Num,
    }),
  ),
  units: v.array(
    v.object({
      id: Id,
      system_id: Text,
      kind: v.picklist([
        "outdoor_module",
        "branch_box",
        "joint",
        "indoor_unit",
        "wall_controller",
        "central_controller",
      ]),
      tag: v.string(),
      floor: Text,
      floor_order: Num,
      place: Text,
      room: Text,
      room_m3: Num,
      parent_id: Text,
      port: Num,
      port_count: Num,
      group_address: Text,
      central_address: Text,
      feeder: Text,
      line_size: Text,
      line_length_m: Num,
      model_note: Text,
    }),
  ),
  errors: v.array(
    v.object({ row: v.number(), column: v.nullish(v.string(), ""), reason: v.string() }),
  ),
  counts: v.record(v.string(), v.number()),
});
