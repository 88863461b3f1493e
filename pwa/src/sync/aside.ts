/**
 * What the server could not take of this person's work, from whichever phone it came: a phone that
 * lost its store, or another one of theirs, shows it too. Asked for only when the list has changed.
 */
import * as v from "valibot";
import type { AttentionRecord } from "../local/records";
import type { Store } from "../local/store";
import { problemFields } from "./http";
import type { Line } from "./line";
import { type AsideItem, SetAsideAnswer } from "./shapes";
import { keepAsking } from "./silence";

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
  let path: string | null = "/api/set-aside";
  while (path) {
    path = await readPage(line, path);
  }
  if (path === "") {
    await store.meta.put({ name: "aside_read", value: told });
  }
}

/** Where to go on; empty at the end, null when there was no answer. */
async function readPage({ store, wire }: Line, path: string): Promise<string | null> {
  const reply = await keepAsking(wire, { method: "GET", path });
  const answer = reply.kind === "ok" ? v.safeParse(SetAsideAnswer, reply.body) : undefined;
  if (!answer?.success) {
    return null;
  }
  const { items, more, settled } = answer.output;
  await keep(store, { items, settled });
  const last = items.at(-1);
  return more && last ? `/api/set-aside?after=${last.id}` : "";
}

async function keep(
  store: Store,
  { items, settled }: { items: AsideItem[]; settled: string[] },
): Promise<void> {
  await store.transaction("rw", store.attention, store.settled, async () => {
    await store.attention.bulkDelete(settled);
    for (const item of items) {
      const isHere = await store.attention.update(item.id, placeOf(item));
      if (!isHere && !(await store.settled.get(item.id))) {
        await store.attention.add(attentionOfAside(item));
      }
    }
  });
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
    ...placeOf(item),
  };
}
