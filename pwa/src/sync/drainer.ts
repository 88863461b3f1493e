/**
 * Keeps one principal's phone and the server alike. A round sends words, brings what changed, and
 * then sends photos. One round at a time for all tabs and the service worker (a Web Lock); a tab
 * that does not get the lock looks again soon, since the other may have been closed meanwhile.
 */
import { Backoff } from "./backoff";
import type { Outcome } from "./line";
import type { Stuck } from "./status";

/** A visible app asks this often by itself (P). */
const TIMER_MS = 20_000;
/** When another tab is at work. */
const LOOK_AGAIN_MS = 3_000;
/** Sync rules: a drainer silent for 30 s is restarted. */
const WATCHDOG_MS = 30_000;

/** `busy`: another tab has the lock. */
export type RoundEnded = Outcome | "busy";
/** What did not come to its end is tried again soon, and says why. */
const WHY_STUCK: Partial<Record<RoundEnded, Stuck>> = {
  later: "silent",
  partly: "busy",
  phone_full: "phone_full",
};
export type Locks = Pick<LockManager, "request">;

type Locked = { name: string; work: () => Promise<Outcome>; signal?: AbortSignal };

/**
 * Runs `work` while holding the principal's lock; `busy` when someone else holds it. A round that is
 * cut off lets go of the lock at once, even where it hangs: the next one must find it free.
 */
export async function underLock(locks: Locks, { name, work, signal }: Locked): Promise<RoundEnded> {
  return await locks.request(name, { ifAvailable: true }, async (lock) => {
    if (!lock) {
      return "busy";
    }
    return await (signal ? Promise.race([work(), cutOff(signal)]) : work());
  });
}

function cutOff(signal: AbortSignal): Promise<Outcome> {
  return new Promise((resolve) => {
    if (signal.aborted) resolve("later");
    signal.addEventListener("abort", () => resolve("later"), { once: true });
  });
}

export type DrainerParts = {
  /** One whole round, to be stopped by the signal. */
  round: (signal: AbortSignal, alive: () => void) => Promise<RoundEnded>;
  isVisible: () => boolean;
  tell: (state: Partial<{ sending: boolean; stuck: Stuck; signed_in: boolean }>) => void;
  backoff?: Backoff;
};

export class Drainer {
  private readonly backoff: Backoff;
  private running: AbortController | null = null;
  private isAskedAgain = false;
  private isStopped = false;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private watchdog: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly parts: DrainerParts) {
    this.backoff = parts.backoff ?? new Backoff();
  }

  /** A reason to hope: signal is back, the app became visible, something was written, a button. */
  kick(): void {
    this.backoff.reset();
    if (this.running) {
      this.isAskedAgain = true;
    } else {
      void this.run();
    }
  }

  /** The line is another one than a moment ago: what waits on the old one may wait in vain. */
  beginAnew(): void {
    const before = this.running;
    this.kick();
    before?.abort();
  }

  /** For what needs the lock now; the round that is under way begins anew after that. */
  makeWay(): void {
    this.isAskedAgain ||= this.running !== null;
    this.cutOff();
  }

  /** The round under way lets go of the lock. Whatever it had sent is asked for again. */
  cutOff(): void {
    this.running?.abort();
  }

  stop(): void {
    this.isStopped = true;
    clearTimeout(this.timer);
    clearTimeout(this.watchdog);
    this.running?.abort();
    this.parts.tell({ sending: false });
  }

  private async run(): Promise<void> {
    if (this.isStopped || this.running) {
      return;
    }
    clearTimeout(this.timer);
    const running = new AbortController();
    this.running = running;
    this.isAskedAgain = false;
    this.parts.tell({ sending: true });
    this.watch(running);
    const ended = await this.oneRound(running);
    if (this.running === running) {
      this.finish(ended);
    }
  }

  private async oneRound(running: AbortController): Promise<RoundEnded> {
    try {
      return await this.parts.round(running.signal, () => this.watch(running));
    } catch (problem) {
      // Kept whole in the store, and tried again; told to the browser's own log of errors.
      reportError(problem);
      return "later";
    }
  }

  /** Restarted by every sign of life. A silent round is cut off and a new one begun. */
  private watch(running: AbortController): void {
    if (this.running !== running) {
      return;
    }
    clearTimeout(this.watchdog);
    this.watchdog = setTimeout(() => {
      running.abort();
      this.finish("later");
    }, WATCHDOG_MS);
  }

  private finish(ended: RoundEnded): void {
    clearTimeout(this.watchdog);
    this.running = null;
    // Of the next person's line, which is told of by now, it knows nothing.
    if (this.isStopped) return;
    this.parts.tell({ sending: false, stuck: WHY_STUCK[ended] ?? null });
    if (ended === "done" || ended === "signed_out") {
      this.backoff.reset();
      this.parts.tell({ signed_in: ended === "done" });
    }
    if (this.isAskedAgain && ended !== "signed_out") {
      void this.run();
      return;
    }
    this.waitFor(this.pause(ended));
  }

  private pause(ended: RoundEnded): number {
    if (WHY_STUCK[ended]) {
      return this.backoff.next();
    }
    return ended === "busy" ? LOOK_AGAIN_MS : TIMER_MS;
  }

  private waitFor(ms: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.wake(ms), ms);
  }

  /** A hidden app leaves the timer alone: it is kicked when it becomes visible. */
  private wake(ms: number): void {
    if (this.parts.isVisible()) {
      void this.run();
    } else {
      this.waitFor(ms);
    }
  }
}
