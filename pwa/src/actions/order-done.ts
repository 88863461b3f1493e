/** In which order things were done that were set aside. */
import type { AttentionRecord } from "../local/records";

/**
 * Of one device as its numbers say, whatever its clock did meanwhile; what several devices did, and what has
 * no number, by the time in the id (UUIDv7), one device's later work never before its earlier.
 */
export function asDone(cards: Iterable<AttentionRecord>): AttentionRecord[] {
  const timed = withTimes([...cards].toSorted(byNumber));
  return timed.toSorted((a, b) => compare(a.time, b.time)).map(({ card }) => card);
}

function byNumber(a: AttentionRecord, b: AttentionRecord): number {
  return (a.seq ?? 0) - (b.seq ?? 0) || compare(a.id, b.id);
}

type Timed = { card: AttentionRecord; time: string };

/** Each with the latest time of its device up to it. */
function withTimes(cards: AttentionRecord[]): Timed[] {
  const latest = new Map<string, string>();
  return cards.map((card) => {
    const device = card.seq === undefined ? card.id : (card.device_id ?? card.id);
    const before = latest.get(device) ?? "";
    const time = compare(card.id, before) < 0 ? before : card.id;
    latest.set(device, time);
    return { card, time };
  });
}

function compare(a: string, b: string): number {
  return Number(a > b) - Number(a < b);
}
