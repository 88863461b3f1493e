/**
 * A small server in memory that keeps the contract of the real one where the phone can notice:
 * lanes with dense numbers, receipts by id, one rev per job, opaque cursors, pages, access. The real
 * code against the real server is tested in the browser stories.
 */
import type { BaseRecord } from "../local/records";
import { sumsOf } from "../sync/sums";

type Row = { table: string; id: string; job_id: string; rev: number; fields: object };
type Sent = { id: string; seq: number; type: string; entity: string; fields: object };
type Receipt = { id: string; seq: number; outcome: string; rev: number; detail: object | null };
type Taken = { receipt: Receipt; body: string };
type Aside = { id: string; job_id: string; type: string; [more: string]: unknown };
/** A job and a step of it, as a server may have them. */
export const job = {
  table: "job",
  id: "job-1",
  job_id: "job-1",
  fields: { name: "Invented Hall" },
};
export const step = (id: string, state = "todo") => ({
  table: "step",
  id,
  job_id: "job-1",
  fields: { code: "charge", state },
});

type Asked = { path: string; body: Record<string, unknown>; headers: Headers };

export class FakeServer {
  epoch = 1;
  heads = new Map<string, number>();
  rows: Row[] = [];
  /** Rows out of the reader's sight, with the revision that took them there. */
  hidden: Row[] = [];
  taken = new Map<string, Taken>();
  lanes = new Map<string, number>();
  /** Jobs that whoever asks may see; null means all. */
  seen: Set<string> | null = null;
  /** Whoever asks is of the company no more. */
  isEnded = false;
  /** Whose session the browser sends along. */
  cookie = "";
  /** Device ids that belong to another phone. */
  foreign = new Set<string>();
  /** Entities whose mutations a rule refuses; what mentions one is set aside with it. */
  refuses = new Set<string>();
  /** Jobs that another writer holds. */
  busy = new Set<string>();
  /** Work that was set aside, newest first, and what its author has dealt with since. */
  aside: Aside[] = [];
  settled = new Set<string>();
  /** Of these, what this server took by itself. */
  takenByItself = new Set<string>();
  asideAtOnce = 200;
  settledAtOnce = 2_000;
  /** A fault of the server's own: its sums count a row that it never sends. */
  addsToSums: Row | null = null;
  /** Of one answer, whatever was asked for. */
  mostRows = 2_000;
  private marks: string[] = [];
  /** The app is too old to read answers. */
  isUpdateNeeded = false;
  log: Asked[] = [];
  /** Called before a request is served; may answer in the server's place or cut the line. */
  before: (asked: Asked) => Response | "cut" | undefined = () => undefined;
  /** Called after it was served: `cut` loses the answer on its way. */
  after: (asked: Asked) => "cut" | undefined = () => undefined;

  fetch: typeof fetch = async (path, init) => {
    const body = typeof init?.body === "string" ? JSON.parse(init.body) : {};
    const asked = { path: String(path), body, headers: new Headers(init?.headers) };
    this.log.push(asked);
    init?.signal?.throwIfAborted();
    const early = this.before(asked);
    if (early === "cut") {
      throw new TypeError("network");
    }
    const isPull = asked.path === "/api/sync/pull";
    const answer = early ?? (isPull ? await this.answer(body) : this.serve(asked));
    if (this.after(asked) === "cut") {
      throw new TypeError("network");
    }
    return answer;
  };

  /** Everything that it knows, as of now; put back later, it is last night's. */
  backUp(): () => void {
    const { rows, heads, lanes, taken } = this;
    const kept = structuredClone({ rows, heads, lanes, taken });
    return () => void Object.assign(this, kept, { epoch: this.epoch + 1 });
  }

  pushes(): Sent[][] {
    return this.log
      .filter((asked) => asked.path === "/api/sync/push")
      .map((asked) => (asked.body["lanes"] as { mutations: Sent[] }[]).flatMap((l) => l.mutations));
  }

  /** Something that another person did. */
  change(row: Omit<Row, "rev">): void {
    const rev = this.bump(row.job_id);
    this.put({ ...row, rev });
  }

  /** Whoever asks may no longer see this row of a job that they do see. */
  hide({ table, id }: Pick<Row, "table" | "id">): void {
    const row = this.rows.find((one) => one.table === table && one.id === id);
    if (!row) {
      throw new Error(`no ${table} ${id} to hide`);
    }
    this.rows = this.rows.filter((one) => one !== row);
    this.hidden.push({ ...row, rev: this.bump(row.job_id) });
  }

  /** They see it again, as it was. */
  show({ table, id }: Pick<Row, "table" | "id">): void {
    const row = this.hidden.find((one) => one.table === table && one.id === id);
    if (!row) {
      throw new Error(`no ${table} ${id} to show`);
    }
    this.hidden = this.hidden.filter((one) => one !== row);
    this.change(row);
  }

  /** The company ends the access of whoever asks. */
  end(): void {
    this.isEnded = true;
    this.seen = new Set();
  }

  private serve({ path, body }: Asked): Response {
    if (path.startsWith("/api/set-aside")) {
      return this.serveAside(path, body);
    }
    if (path === "/api/sync/push") {
      const lanes = body["lanes"] as { job_id: string; mutations: Sent[] }[];
      const device_id = String(body["device_id"]);
      return json({ lanes: lanes.map((lane) => this.pushLane(device_id, lane)) });
    }
    return path === "/api/me" ? json({ person: { id: this.cookie } }) : json({ people: [] });
  }

  private pushLane(device_id: string, lane: { job_id: string; mutations: Sent[] }) {
    const { job_id, mutations } = lane;
    const key = `${device_id}/${job_id}`;
    const receipts: Receipt[] = [];
    const answer = (error: string | null) => ({
      job_id,
      last_seq: this.lanes.get(key) ?? 0,
      receipts,
      error: error ? { code: error, message: "" } : null,
    });
    if (this.foreign.has(device_id)) {
      return { ...answer("device_cloned"), last_seq: null };
    }
    if (this.busy.has(job_id)) {
      return { ...answer("busy"), last_seq: null };
    }
    for (const mutation of mutations) {
      const last_seq = this.lanes.get(key) ?? 0;
      const { seq: _seq, ...rest } = mutation;
      const body = JSON.stringify(rest);
      const known = this.taken.get(mutation.id);
      if ((known && known.body !== body) || (!known && mutation.seq <= last_seq)) {
        return answer("device_cloned");
      }
      if (mutation.seq > last_seq + 1) {
        return answer("seq_gap");
      }
      const receipt = known?.receipt ?? this.take(job_id, mutation);
      this.taken.set(mutation.id, { receipt, body });
      this.lanes.set(key, Math.max(last_seq, mutation.seq));
      receipts.push({ ...receipt, seq: mutation.seq });
    }
    return answer(null);
  }

  private take(job_id: string, { id, seq, type, entity, fields }: Sent): Receipt {
    if (this.seen && !this.seen.has(job_id)) {
      const detail = { code: "no_access", message: "not yours", fields: {} };
      return { id, seq, outcome: "set_aside", rev: 0, detail };
    }
    const rev = this.bump(job_id);
    const owners = Object.entries(fields).filter(([name]) => name.endsWith("_id"));
    if (owners.some(([, id]) => this.refuses.has(id))) {
      const detail = { code: "goes_with", message: "Mend that first.", fields: {} };
      return { id, seq, outcome: "set_aside", rev, detail };
    }
    if (this.refuses.has(entity)) {
      const detail = { code: "a_rule", message: "A rule says no.", fields: { words: ["too bad"] } };
      return { id, seq, outcome: "refused", rev, detail };
    }
    const made = type === "photo.add" ? { ...fields, state: "pending" } : fields;
    this.put({ table: type.split(".")[0] ?? "", id: entity, job_id, rev, fields: made });
    return { id, seq, outcome: "applied", rev, detail: null };
  }

  private serveAside(path: string, body: Record<string, unknown>): Response {
    if (path.endsWith("/settled")) {
      for (const id of body["ids"] as string[]) {
        this.settled.add(id);
      }
      return new Response(null, { status: 204 });
    }
    const waiting = this.aside.filter((one) => !this.settled.has(one.id));
    const after = new URL(path, "http://server").searchParams.get("after");
    const from = after ? waiting.findIndex((one) => one.id === after) + 1 : 0;
    const items = waiting.slice(from, from + this.asideAtOnce);
    const more = waiting.length > from + items.length;
    const settled = after ? [] : [...this.settled].slice(-this.settledAtOnce);
    const taken = settled.filter((id) => this.takenByItself.has(id));
    return json({ items, more, settled, taken, epoch: `epoch ${this.epoch}` });
  }

  /** Everything that the mark of the real server stands for. */
  private mark(): string {
    const seen = [...this.heads].filter(([job_id]) => !this.seen || this.seen.has(job_id));
    const whole = JSON.stringify([this.epoch, seen, this.asideMark()]);
    if (!this.marks.includes(whole)) {
      this.marks.push(whole);
    }
    return `mark ${this.marks.indexOf(whole)}`;
  }

  private asideMark(): string {
    return this.aside.length > 0 ? `${this.aside.length}/${this.settled.size}` : "";
  }

  /** As the real server: over what it would send, for jobs of which nothing is left to read. */
  private async sums(body: Record<string, unknown>, unread: Set<string>) {
    const wanted = ((body["check"] ?? []) as string[]).filter(
      (id) => this.heads.has(id) && !unread.has(id) && (!this.seen || this.seen.has(id)),
    );
    const sums: Record<string, object> = {};
    for (const job_id of wanted) {
      const all = [...this.rows, ...(this.addsToSums ? [this.addsToSums] : [])];
      sums[job_id] = await sumsOf(all.filter((row) => row.job_id === job_id) as BaseRecord[]);
    }
    return sums;
  }

  private async answer(body: Record<string, unknown>) {
    if (this.isUpdateNeeded) {
      return json({ error: { code: "update_needed", message: "", fields: {} } }, 426);
    }
    const mark = this.mark();
    const about = { people_rev: this.isEnded ? 0 : 1, ...(this.isEnded ? { ended: true } : {}) };
    if (typeof body["mark"] === "string") {
      return json({ jobs: [], ...about, mark, changed: body["mark"] !== mark });
    }
    const { jobs } = this.pull(body);
    const unread = new Set(jobs.filter((one) => one.more).map((one) => one.job_id));
    const sums = await this.sums(body, unread);
    const epoch = `epoch ${this.epoch}`;
    return json({ jobs, ...about, mark, epoch, aside: this.asideMark(), sums });
  }

  private pull(body: Record<string, unknown>) {
    let room = Math.min(Number(body["limit"]), this.mostRows);
    const cursors = new Map(
      (body["cursors"] as string[]).map((text) => [String(JSON.parse(text)[0]), JSON.parse(text)]),
    );
    const jobs: { job_id: string; more: boolean; [field: string]: unknown }[] = [];
    const isSeen = (id: string) => this.heads.has(id) && (!this.seen || this.seen.has(id));
    for (const job_id of [...cursors.keys()].filter((id) => !isSeen(id))) {
      const gone = { state: "gone", rows: [], removals: [], cursor: null, last_seq: 0 };
      jobs.push({ job_id, ...gone, more: false });
    }
    for (const [job_id, head] of [...this.heads].filter(([id]) => isSeen(id))) {
      const [, epoch, rev] = cursors.get(job_id) ?? [job_id, 0, 0];
      const isReset = epoch !== this.epoch || rev > head;
      if (!isReset && rev === head) {
        continue;
      }
      const from = isReset ? 0 : Number(rev);
      const fresh = [...this.rows, ...(isReset ? [] : this.hidden)]
        .filter((row) => row.job_id === job_id && row.rev > from)
        .toSorted((a, b) => a.rev - b.rev);
      const page = fresh.slice(0, room);
      room -= page.length;
      const isHidden = (row: Row) => this.hidden.includes(row);
      const more = fresh.length > page.length;
      const reach = more ? (page.at(-1)?.rev ?? from) : head;
      jobs.push({
        job_id,
        state: isReset ? "reset" : "patch",
        rows: page.filter((row) => !isHidden(row)),
        removals: page.filter(isHidden).map(({ table, id }) => ({ table, id })),
        cursor: JSON.stringify([job_id, this.epoch, reach]),
        more,
        last_seq: this.lanes.get(`${String(body["device_id"])}/${job_id}`) ?? 0,
      });
    }
    return { jobs };
  }

  private bump(job_id: string): number {
    const rev = (this.heads.get(job_id) ?? 0) + 1;
    this.heads.set(job_id, rev);
    return rev;
  }

  private put(row: Row): void {
    const before = this.rows.find((one) => one.table === row.table && one.id === row.id);
    this.rows = this.rows.filter((one) => one !== before);
    this.rows.push({ ...row, fields: { ...before?.fields, ...row.fields } });
  }
}

export function json(body: unknown, status = 200): Response {
  return new Response(JSON.stringify(body), {
    status,
    headers: { "Content-Type": "application/json" },
  });
}
