/**
 * A line may lose an answer, or carry nothing at all, without being cut: nobody tells the phone. What is
 * not answered in good time has the line itself asked, by a small question, again every few seconds.
 * Once one of those is answered the line is there, and what waited on it in vain is asked anew.
 */
import { bytesIn } from "../local/bytes";
import { ask, REQUEST_TIMEOUT_MS, type Reply, type Request, sendingMs, type Wire } from "./http";

/** A new connection on a poor line takes two to three (P); the earlier questions are waited for all the same. */
const AGAIN_MS = 3_000;
/** What a server at work and a poor line need for a few words. (P) */
const PATIENCE_MS = 6_000;
/** How often the line is asked beside what takes it long: well within the silence that ends a round. (P) */
const BESIDE_MS = 15_000;

/** How long what has so many bytes to send is waited for before the line is asked. */
export const patienceFor = (bytes: number) => PATIENCE_MS + sendingMs(bytes);

/** False when nothing was heard in as long as an answer is waited for. */
export async function isThere(wire: Wire): Promise<boolean> {
  return await isHeard(wire, { after_ms: 0, signal: AbortSignal.timeout(REQUEST_TIMEOUT_MS) });
}

/** True as soon as the line, asked from `after_ms` on, has answered; false when `signal` came first. */
export async function isHeard(
  wire: Wire,
  { after_ms, signal }: { after_ms: number; signal: AbortSignal },
): Promise<boolean> {
  const enough = new AbortController();
  const end = AbortSignal.any([enough.signal, signal, ...(wire.signal ? [wire.signal] : [])]);
  if (end.aborted) {
    return false;
  }
  const heard = await new Promise<boolean>((resolve) => {
    const question = () => {
      const asked = wire.fetch("/healthz", { cache: "no-store", signal: end });
      asked.then(() => resolve(true)).catch(() => undefined); // cut, or refused: asked again
      next = setTimeout(question, AGAIN_MS);
    };
    let next = setTimeout(question, after_ms);
    end.addEventListener("abort", () => {
      clearTimeout(next);
      resolve(false);
    });
  });
  enough.abort();
  if (heard) {
    wire.alive?.();
  }
  return heard;
}

/** For what may be asked twice, since the server knows it again or it changes nothing. */
export async function keepAsking(wire: Wire, request: Request): Promise<Reply> {
  const bytes = request.json === undefined ? 0 : bytesIn(JSON.stringify(request.json));
  return await tryAgain(wire, { bytes, once: (one) => ask(one, request) });
}

type Asked<T> = { bytes: number; once: (wire: Wire) => Promise<T> };

export async function tryAgain<T>(wire: Wire, asked: Asked<T>): Promise<T> {
  return await new Promise((resolve, reject) => {
    new Tries(wire, { asked, resolve, reject }).begin();
  });
}

type Told<T> = {
  asked: Asked<T>;
  resolve: (ended: T) => void;
  reject: (problem: unknown) => void;
};

/**
 * One more is begun beside those before whenever the line answers and they do not: the server may only be
 * slow. The first that is heard goes on alone; the first that ends unheard is the end of all.
 */
class Tries<T> {
  private readonly all: AbortController[] = [];
  private readonly over = new AbortController();

  constructor(
    private readonly wire: Wire,
    private readonly told: Told<T>,
  ) {}

  begin(): void {
    const { asked, reject } = this.told;
    const mine = new AbortController();
    this.all.push(mine);
    if (this.all.length === 1) {
      this.askBeside().catch(reject);
    }
    this.follow(asked.once(this.wireOf(mine)), mine);
    isHeard(this.wire, { after_ms: patienceFor(asked.bytes), signal: this.over.signal })
      .then((heard) => heard && this.begin())
      .catch(reject);
  }

  /** What is still leaving is no silence as long as the line answers: each answer is a sign of life. */
  private async askBeside(): Promise<void> {
    const until = patienceFor(this.told.asked.bytes) - BESIDE_MS;
    for (let waited_ms = 0; waited_ms < until; waited_ms += BESIDE_MS) {
      if (!(await isHeard(this.wire, { after_ms: BESIDE_MS, signal: this.over.signal }))) return;
    }
  }

  private wireOf(mine: AbortController): Wire {
    const { signal } = this.wire;
    return {
      ...this.wire,
      signal: AbortSignal.any([mine.signal, ...(signal ? [signal] : [])]),
      alive: () => {
        this.goOnWith(mine);
        this.wire.alive?.();
      },
    };
  }

  private async follow(work: Promise<T>, mine: AbortController): Promise<void> {
    try {
      const ended = await work;
      this.end(mine, () => this.told.resolve(ended));
    } catch (problem) {
      this.end(mine, () => this.told.reject(problem));
    }
  }

  private end(mine: AbortController, settle: () => void): void {
    if (!mine.signal.aborted) {
      this.goOnWith(mine);
      settle();
    }
  }

  private goOnWith(mine: AbortController): void {
    this.over.abort();
    for (const other of this.all.filter((one) => one !== mine)) {
      other.abort();
    }
  }
}
