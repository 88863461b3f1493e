/**
 * What goes to the server together when something that was set aside is sent again. A change of a thing
 * whose creation was set aside went with it, and goes with it again; nothing else goes unasked.
 */
import type { AttentionRecord, MutationType } from "../local/records";
import { MIRRORS } from "./mirror";
import { asDone } from "./order-done";

export type Together = {
  /** Creations that it hangs on: without them it has nothing to be about. */
  before: AttentionRecord[];
  /** What went aside with them or with it, and goes again after it or between. */
  after: AttentionRecord[];
  /** All of it, itself included, in the order in which it was done. */
  inOrder: AttentionRecord[];
  /** It hangs on something that its author put off: that is to be sent first, by a press of its own. */
  keptFirst: AttentionRecord | undefined;
};

/** Set aside for no fault of their own: the creation was not taken, or the whole job was not theirs. */
const WENT_WITH = ["goes_with", "no_access"];

export function isMutation(type: string): type is MutationType {
  return type in MIRRORS;
}

export function goingTogether(
  item: AttentionRecord,
  { cards }: { cards: readonly AttentionRecord[] },
): Together {
  const known = asDone([item, ...cards.filter((card) => isOfJob(card, item))]);
  const makers = makersIn(known);
  const before = allBefore(item, { makers });
  const wanted = new Set([...before, item]);
  for (let found = 1; found > 0; ) {
    const more = known.filter((card) => !wanted.has(card) && goesAlong(card, { wanted, makers }));
    for (const card of more) wanted.add(card);
    found = more.length;
  }
  const after = asDone(wanted).filter((card) => card !== item && !before.includes(card));
  const inOrder = creationsFirst(wanted, { makers });
  return { before, after, inOrder, keptFirst: before.find((card) => card.kept_at) };
}

function isOfJob(card: AttentionRecord, item: AttentionRecord): boolean {
  return card.id !== item.id && card.job_id === item.job_id && isMutation(card.type);
}

/** Those that would make a thing, by its id: there may be several attempts. */
type Known = { makers: Map<string, AttentionRecord[]> };

function makersIn(cards: AttentionRecord[]): Known["makers"] {
  const makers: Known["makers"] = new Map();
  for (const card of cards.filter(makes)) {
    makers.set(card.entity, [...(makers.get(card.entity) ?? []), card]);
  }
  return makers;
}

/** Those among the waiting that would make what this one is about. */
function creationsOf(card: AttentionRecord, { makers }: Known): AttentionRecord[] {
  const mentioned = new Set([card.entity, card.job_id, ...idsIn(card.fields)]);
  const found = [...mentioned].flatMap((id) => makers.get(id) ?? []);
  return found.filter((one) => one.id !== card.id && !isSame(one, card));
}

/** As the server reads them: the fields that point at a row. */
function idsIn(fields: Record<string, unknown>): string[] {
  return Object.entries(fields).flatMap(([name, value]) =>
    name.endsWith("_id") && typeof value === "string" ? [value] : [],
  );
}

/** Where its id is taken the thing is there already. */
function makes({ type, code }: AttentionRecord): boolean {
  return isMutation(type) && MIRRORS[type].makes && code !== "id_taken";
}

/** Two attempts to make one thing do not hang on each other. */
function isSame(one: AttentionRecord, other: AttentionRecord): boolean {
  return makes(other) && one.entity === other.entity;
}

function allBefore(card: AttentionRecord, { makers }: Known): AttentionRecord[] {
  const found = creationsOf(card, { makers });
  return asDone(new Set([...found.flatMap((one) => allBefore(one, { makers })), ...found]));
}

/** It went aside with one that goes now, and everything that it hangs on goes or has gone. */
function goesAlong(
  card: AttentionRecord,
  { wanted, makers }: Known & { wanted: Set<AttentionRecord> },
): boolean {
  if (card.kept_at || !WENT_WITH.includes(card.code)) return false;
  const needed = creationsOf(card, { makers });
  return needed.length > 0 && needed.every((one) => wanted.has(one));
}

/** In the order in which they were done; a creation that was sent again since still goes before the rest. */
function creationsFirst(cards: Set<AttentionRecord>, { makers }: Known): AttentionRecord[] {
  const ordered = new Set<AttentionRecord>();
  for (const card of asDone(cards)) {
    for (const one of [...allBefore(card, { makers }), card]) {
      if (cards.has(one)) ordered.add(one);
    }
  }
  return [...ordered];
}
