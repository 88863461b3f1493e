/**
 * A line on which an answer was waited for in vain may be silent still without being cut. Before anything is
 * given to it that would be waited for as long again it is asked a small question, and again every few seconds,
 * until one of them is answered: what waits goes within seconds of the line's coming back.
 */
import { REQUEST_TIMEOUT_MS, type Wire } from "./http";

/** A new connection on a poor line takes two to three (P); the earlier questions are waited for all the same. */
const AGAIN_MS = 4_000;

/** False when nothing was heard in as long as an answer is waited for, or when there is no line at all. */
export async function isThere(wire: Wire): Promise<boolean> {
  const enough = new AbortController();
  const signals = [enough.signal, AbortSignal.timeout(REQUEST_TIMEOUT_MS)];
  const end = AbortSignal.any([...signals, ...(wire.signal ? [wire.signal] : [])]);
  const heard = await new Promise<boolean>((resolve) => {
    let next: ReturnType<typeof setTimeout>;
    const ask = () => {
      const asked = wire.fetch("/healthz", { cache: "no-store", signal: end });
      asked.then(() => resolve(true)).catch(() => resolve(false));
      next = setTimeout(ask, AGAIN_MS);
    };
    end.addEventListener("abort", () => {
      clearTimeout(next);
      resolve(false);
    });
    ask();
  });
  enough.abort();
  if (heard) {
    wire.alive?.();
  }
  return heard;
}
