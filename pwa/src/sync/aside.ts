/**
 * What the server could not take of this person's work, from whichever phone it came: a phone that
 * lost its store, or another one of theirs, shows it too. Asked for only when the list has changed.
 */
import * as v from "valibot";
import type { AttentionRecord } from "../local/records";
import type { Store } from "../local/store";
import { problemFields } from "./http";
import type { Line } from "./line";
import { type AsideItem, type SetAsidePage as Page, SetAsideAnswer } from "./shapes";
import { keepAsking } from "./silence";

const LIST = "/api/set-aside";

/** The server takes at most so many ids in one request. */
const MOST_SETTLED = 200;

/** What was sent again or given up here needs nobody on any other phone. */
export async function tellSettled({ store, wire }: Line): Promise<void> {
  const ids = await store.settled.limit(MOST_SETTLED).primaryKeys();
  if (ids.length === 0) {
    return;
  }
  const json = { ids };
  const reply = await keepAsking(wire, { method: "POST", path: "/api/set-aside/settled", json });
  if (reply.kind === "ok") {
    await store.settled.bulkDelete(ids);
  }
}

/** A cut on the way costs nothing: it is read again from the start in the next round. */
export async function readSetAside(line: Line): Promise<void> {
  const { store } = line;
  const told = (await store.meta.get("aside"))?.value;
  const read = (await store.meta.get("aside_read"))?.value ?? "";
  if (told === undefined || told === read) {
    return;
  }
  const listed = await readList(line);
  if (listed) {
    await letGo(store, listed);
    await store.meta.put({ name: "aside_read", value: told });
  }
}

type Listed = { ids: Set<string>; epoch: string | undefined };

/** The whole list, kept page by page; null when an answer is missing, or it is of two databases. */
async function readList(line: Line): Promise<Listed | null> {
  const ids = new Set<string>();
  let first: Page | undefined;
  for (let path = LIST; path; ) {
    const page = await readPage(line, path);
    first ??= page ?? undefined;
    if (!page || page.epoch !== first?.epoch) {
      return null;
    }
    for (const { id } of page.items) ids.add(id);
    const last = page.items.at(-1);
    path = page.more && last ? `${LIST}?after=${last.id}` : "";
  }
  return { ids, epoch: first?.epoch };
}

async function readPage({ store, wire }: Line, path: string): Promise<Page | null> {
  const reply = await keepAsking(wire, { method: "GET", path });
  const answer = reply.kind === "ok" ? v.safeParse(SetAsideAnswer, reply.body) : undefined;
  if (!answer?.success) {
    return null;
  }
  await keep(store, answer.output);
  return answer.output;
}

async function keep(store: Store, { items, settled, taken, epoch }: Page): Promise<void> {
  const isTaken = new Set(taken);
  const dealtWith = settled.filter((id) => !isTaken.has(id));
  await store.transaction("rw", store.attention, store.settled, store.receipts, async () => {
    await store.attention.bulkDelete(settled);
    await noteTaken(store, taken);
    await noteDealtWith(store, dealtWith);
    for (const item of items) {
      const told = { ...placeOf(item), ...(epoch === undefined ? {} : { told_in: epoch }) };
      const isHere = await store.attention.update(item.id, told);
      if (!isHere && !(await store.settled.get(item.id))) {
        await store.attention.add({ ...attentionOfAside(item), ...told });
      }
    }
  });
}

/** As if it had been taken at once: a server that comes back from a backup may have lost it, and is offered it. */
async function noteTaken({ receipts }: Store, ids: string[]): Promise<void> {
  const known = receipts.where("id").anyOf(ids);
  await known.filter((one) => one.outcome !== "applied").modify({ outcome: "applied" });
}

async function noteDealtWith({ receipts }: Store, ids: string[]): Promise<void> {
  const known = receipts.where("id").anyOf(ids);
  await known.filter((one) => !one.is_dealt_with).modify({ is_dealt_with: true });
}

/**
 * What was on the list and is no more has been taken after all, or dealt with on another phone. A server that
 * came back from a backup may have lost it: under another epoch, and where the server never told of it, it stays.
 */
async function letGo(store: Store, { ids, epoch }: Listed): Promise<void> {
  const isGone = (card: AttentionRecord) => card.told_in === epoch && !ids.has(card.id);
  if (epoch !== undefined) {
    await store.attention.filter(isGone).delete();
  }
}

/** A server that does not say it changes nothing of what is known here. */
function placeOf({ device_id, seq }: AsideItem): Pick<AttentionRecord, "device_id" | "seq"> {
  return device_id === undefined || seq === undefined ? {} : { device_id, seq };
}

function attentionOfAside(item: AsideItem): AttentionRecord {
  const { id, job_id, type, detail, mutation, at } = item;
  return {
    id,
    job_id,
    type,
    entity: item.entity ?? "",
    fields: mutation.fields ?? {},
    device_time: mutation.device_time ?? at,
    outcome: item.outcome === "refused" ? "refused" : "set_aside",
    code: detail.code ?? item.outcome,
    message: detail.message ?? "",
    problem_fields: problemFields(detail.fields),
    at,
  };
}
