/**
 * The line between phones and server. Each message has a fate, drawn when it sets out: it arrives, it
 * is lost without a word, the connection is cut, it comes twice, or so late that others overtake it.
 * The server is the real one; it is asked while every phone stands still, one request at a time.
 */
import { Buffer } from "node:buffer";
import type { Chance } from "./chance.ts";
import type { Booking, Clock } from "./clock.ts";
import type { Asker } from "./server.ts";
import type { Tab } from "./tab.ts";
import type { Trace } from "./trace.ts";

export type Reply = { status: number; headers: Record<string, string>; body: Buffer };
export type Sending = {
  tab: Tab;
  method: string;
  path: string;
  headers: Record<string, string>;
  body: Buffer | Blob | null;
  answer: (reply: Reply) => void;
  fail: () => void;
};
export type Exchange = { leave: () => void };
type Open = Sending & { n: number; isOver: boolean };

/** Of a hundred requests, and of a hundred answers. */
const REQUEST_FATES = { arrives: 72, lost: 7, cut: 6, twice: 7, late: 8 };
const ANSWER_FATES = { arrives: 78, lost: 9, cut: 8, late: 5 };
type Fate = keyof typeof REQUEST_FATES;

/** The server is up throughout; whether the question and its answer get through is the line's to say. */
const IS_UP: Reply = { status: 200, headers: {}, body: Buffer.from("{}") };

export type World = { clock: Clock; chance: Chance; ask: Asker; trace: Trace };

export class Network {
  isHealed = true;
  requests = 0;
  /** Those that can change something on the server. */
  changing = 0;
  readonly problems: string[] = [];
  private readonly open = new Set<Open>();
  private readonly onTheWay = new Set<Booking>();

  constructor(private readonly world: World) {}

  send(sending: Sending): Exchange {
    this.requests += 1;
    this.changing += sending.path === "/api/sync/pull" || sending.method === "GET" ? 0 : 1;
    const one: Open = { ...sending, n: this.requests, isOver: false };
    this.open.add(one);
    const { device } = one.tab;
    const fate = this.fateOf(REQUEST_FATES, device.line === "silent");
    this.world.trace.note(`${device.name} ${one.n} ${one.method} ${one.path} ${fate}`);
    if (device.line === "off") {
      this.later(1, () => this.end(one));
    } else {
      this.setOut(one, fate);
    }
    return { leave: () => this.close(one) };
  }

  private setOut(one: Open, fate: Fate): void {
    const { chance } = this.world;
    if (fate === "lost") {
      return;
    }
    if (fate === "cut") {
      this.later(chance.whole(10, 3_000), () => this.end(one));
      return;
    }
    this.later(this.delay(fate), () => this.arrive(one));
    if (fate === "twice") {
      this.later(chance.whole(30, 25_000), () => this.comeAgain(one));
    }
  }

  private delay(fate: Fate): number {
    const { chance } = this.world;
    if (fate === "late") {
      return chance.whole(1_500, 40_000);
    }
    return this.isHealed ? chance.whole(10, 200) : chance.whole(20, 1_500);
  }

  private fateOf<F extends Fate>(fates: Record<F, number>, isSilent: boolean): F {
    if (this.isHealed) {
      return "arrives" as F;
    }
    return isSilent ? ("lost" as F) : this.world.chance.weighted(fates);
  }

  /** The phone may have given up on it, or have been switched off: the server does not know. */
  private async arrive(one: Open): Promise<void> {
    const reply = await this.ask(one);
    if (one.isOver) {
      return;
    }
    const { line } = one.tab.device;
    const fate = this.fateOf(ANSWER_FATES, line === "silent" || line === "deaf" || line === "off");
    this.world.trace.note(`${one.tab.device.name} ${one.n} answer ${fate}`);
    if (fate === "cut") {
      this.later(this.delay("arrives"), () => this.end(one));
    } else if (fate !== "lost") {
      this.later(this.delay(fate), () => this.end(one, reply));
    }
  }

  private async comeAgain(one: Open): Promise<void> {
    await this.ask(one);
  }

  private async ask(one: Open): Promise<Reply> {
    const { tab, method, path, headers } = one;
    if (path === "/healthz") {
      return IS_UP;
    }
    const body = one.body instanceof Blob ? Buffer.from(await one.body.arrayBuffer()) : one.body;
    const reply = await this.world.ask({ who: tab.device, method, path, headers, body });
    this.world.trace.note(`${tab.device.name} ${one.n} server ${inShort(path, reply)}`);
    if (reply.status >= 500) {
      this.problems.push(
        `${method} ${path}: ${reply.status} ${reply.body.toString().slice(0, 300)}`,
      );
    }
    if (path === "/api/sync/pull" && body?.includes('"differed"')) {
      this.problems.push(`${tab.device.name} held other rows than the server: ${body.toString()}`);
    }
    return reply;
  }

  private async end(one: Open, reply?: Reply): Promise<void> {
    if (one.isOver) {
      return;
    }
    this.close(one);
    if (one.tab.isOpen) {
      await one.tab.turn(() => (reply ? one.answer(reply) : one.fail()));
    }
  }

  private close(one: Open): void {
    one.isOver = true;
    this.open.delete(one);
  }

  private later(ms: number, run: () => Promise<void>): void {
    const booking = this.world.clock.after(ms, async () => {
      this.onTheWay.delete(booking);
      await run();
    });
    this.onTheWay.add(booking);
  }

  /** The app that waited is gone. What it sent is on its way all the same. */
  forget(tab: Tab): void {
    for (const one of this.open) {
      if (one.tab === tab) {
        this.close(one);
      }
    }
  }

  /** Nothing is lost or late any more. What hangs is told by nobody that it was lost. */
  heal(): void {
    this.isHealed = true;
    for (const booking of this.onTheWay) {
      this.world.clock.hurry(booking, this.world.chance.whole(10, 1_000));
    }
  }
}

type Said = {
  lanes?: { receipts: { outcome: string }[]; error: { code: string } | null }[];
  jobs?: { state: string; rows: object[]; removals: object[]; more: boolean }[];
  changed?: boolean;
};

/** What an answer says, without the ids and times that are others in each run. */
function inShort(path: string, { status, body }: Reply): string {
  if (status !== 200 || !path.startsWith("/api/sync/")) {
    return String(status);
  }
  const said: Said = JSON.parse(body.toString());
  const lanes = said.lanes?.map(({ receipts, error }) =>
    [...receipts.map(({ outcome }) => outcome), error?.code].join(" "),
  );
  const jobs = said.jobs?.map(
    ({ state, rows, removals, more }) => `${state} ${rows.length} ${removals.length} ${more}`,
  );
  return `${status} ${[...(lanes ?? []), ...(jobs ?? [])].join(", ")} ${said.changed ?? ""}`;
}
