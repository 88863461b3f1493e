/**
 * Brings what changed on the server (take.ts stores it). A phone that has read everything asks with
 * one short word whether that is still so; when it is, that one small request is the whole round.
 */
import * as v from "valibot";
import { deviceIdOf } from "../local/device";
import { resetUnderWay } from "../local/records";
import type { Store } from "../local/store";
import { noteEnd } from "./ended";
import { offerToAnotherServer } from "./epoch";
import type { Reply } from "./http";
import type { Ended, Line } from "./line";
import { PullAnswer } from "./shapes";
import { keepAsking } from "./silence";
import { compareSums, dueForCheck, REPORTS, reportsToSend } from "./sums";
import {
  type Asked,
  acknowledgedNow,
  dropWhereNothingChanged,
  forgetUnseen,
  inTheRoomOfStored,
  takeJob,
} from "./take";

/** Rows of one page: a few hundred kilobytes, a second on a poor line (P). */
export const PAGE_ROWS = 1_000;
const LEAST_ROWS = 30;
/**
 * How many the line carried of late: half as many after an answer that was waited for in vain, for a
 * cellar where a whole page never arrives in time; twice as many after each that arrived.
 */
const carried = new WeakMap<Store, number>();
/** Which answers this app can read. The server may ask for a newer app; work is sent all the same. */
const PULL_VERSION = 1;
const UPDATE_NEEDED = "update_needed";

/** Of everything, or only of whether anything changed. */
type About = "all" | "change";
type Pulled = v.InferOutput<typeof PullAnswer> & { about: About };
type Reached = Pulled | Ended;

export async function pull(line: Line): Promise<Ended> {
  const { store } = line;
  for (;;) {
    const asked: Asked = {
      device_id: await deviceIdOf(store),
      acknowledged: await acknowledgedNow(store),
    };
    const check = await dueForCheck(store);
    const answer = await reach(line, { asked, check });
    if (typeof answer === "string") {
      return answer;
    }
    const isWhole = await take(line, { answer, asked, check });
    if (isWhole) {
      return "done";
    }
  }
}

type Question = { asked: Asked; check: string[] };

/** First the short question; the long one only if something changed, or is to be compared. */
async function reach(line: Line, question: Question): Promise<Reached> {
  const { device_id } = question.asked;
  const mark = (await line.store.meta.get("mark"))?.value;
  const differed = await reportsToSend(line.store);
  if (mark !== undefined && question.check.length === 0 && differed.length === 0) {
    const answer = await request(line, { device_id, mark });
    if (typeof answer === "string" || !answer.changed) {
      return answer;
    }
  }
  const answer = await request(line, await wholeQuestion(line.store, { ...question, differed }));
  if (typeof answer !== "string" && differed.length > 0) {
    await line.store.meta.delete(REPORTS);
  }
  return answer;
}

type Whole = Question & { differed: object[] };

async function wholeQuestion(store: Store, { asked: { device_id }, check, differed }: Whole) {
  const cursors = await store.cursors.filter((one) => !one.gone && one.cursor !== null).toArray();
  return {
    device_id,
    v: PULL_VERSION,
    cursors: cursors.map((one) => one.cursor),
    limit: rowsToAsk(store),
    ...(check.length > 0 ? { check } : {}),
    ...(differed.length > 0 ? { differed } : {}),
  };
}

const rowsToAsk = (store: Store) => carried.get(store) ?? PAGE_ROWS;

function noteCarried(store: Store, reply: Reply): void {
  if (reply.kind === "ok") {
    carried.set(store, Math.min(PAGE_ROWS, rowsToAsk(store) * 2));
  } else if (reply.kind === "later" && reply.isSilent) {
    carried.set(store, Math.max(LEAST_ROWS, Math.ceil(rowsToAsk(store) / 2)));
  }
}

async function request({ store, wire }: Line, json: object): Promise<Reached> {
  const reply = await keepAsking(wire, { method: "POST", path: "/api/sync/pull", json });
  if ("limit" in json) {
    noteCarried(store, reply);
  }
  if (reply.kind === "signed_out") {
    return "signed_out";
  }
  if (reply.kind === "no" && "cursors" in reply.refusal.fields) {
    await forgetCursors(store);
    return "later";
  }
  if (reply.kind === "no" && reply.refusal.code === UPDATE_NEEDED) {
    await store.meta.put({ name: UPDATE_NEEDED, value: true });
    return "done";
  }
  const answer = reply.kind === "ok" ? v.safeParse(PullAnswer, reply.body) : undefined;
  const about: About = "cursors" in json ? "all" : "change";
  return answer?.success ? { ...answer.output, about } : "later";
}

/**
 * A cursor that this server never gave: everything is read from the start, but for what is gone. Which jobs
 * there are stays known until then.
 */
async function forgetCursors(store: Store): Promise<void> {
  await store.transaction("rw", store.cursors, store.meta, async () => {
    const here = store.cursors.filter((one) => !one.gone);
    await here.modify((one) => {
      if (resetUnderWay(one)) {
        one.reset_at = null;
      }
      one.cursor = null;
      // Compared once more as soon as it has been read.
      delete one.checked_at;
    });
    await store.meta.delete("mark");
  });
}

/** Whether everything has been read now. */
async function take(
  { store, wire }: Line,
  { answer, asked, check }: Question & { answer: Pulled },
): Promise<boolean> {
  const { jobs, people_rev, mark, aside, sums } = answer;
  const known = await store.meta.bulkGet(["mark", UPDATE_NEEDED]);
  await noteEnd(store, answer);
  const work = () => offerToAnotherServer(store, { answer, asked });
  await inTheRoomOfStored(store, { jobs, work });
  if (jobs.length > 0) {
    // Until the last page is stored, nothing says that this phone has read everything.
    await store.meta.delete("mark");
  }
  for (const job of jobs) {
    await takeJob(store, { job, asked });
  }
  await dropWhereNothingChanged(store, { jobs, asked });
  if (jobs.some((job) => job.more)) {
    return false;
  }
  // A round that was cut off may overlap with the next one, which reads and forgets of its own.
  if (wire.signal?.aborted) {
    return false;
  }
  if (await compareSums(store, { check, sums: sums ?? {} })) {
    return false;
  }
  if (answer.about === "all") {
    await forgetUnseen(store, asked);
  }
  if (jobs.length > 0 || !mark || known[0]?.value !== mark) {
    await store.meta.bulkPut([
      { name: "people_rev", value: people_rev },
      ...(mark ? [{ name: "mark", value: mark }] : []),
      ...(aside === undefined || aside === null ? [] : [{ name: "aside", value: aside }]),
    ]);
  }
  if (known[1]) {
    await store.meta.delete(UPDATE_NEEDED);
  }
  return true;
}
