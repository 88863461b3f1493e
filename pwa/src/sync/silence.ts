/**
 * A line may lose an answer, or carry nothing at all, without being cut: nobody tells the phone. What is
 * not answered in good time has the line itself asked, by a small question, again every few seconds.
 * Once one of those is answered the line is there, and what waited on it in vain is asked anew.
 */
import { ask, REQUEST_TIMEOUT_MS, type Reply, type Request, type Wire } from "./http";

/** A new connection on a poor line takes two to three (P); the earlier questions are waited for all the same. */
const AGAIN_MS = 3_000;
/** What a server at work and a poor line need for a few words. (P) */
const PATIENCE_MS = 6_000;
/** How many bytes a poor line takes up in a second: what is large is waited for longer. (P) */
const POOR_LINE_BYTES_PER_S = 4_000;

/** How long what has so many bytes to send is waited for before the line is asked. */
export const patienceFor = (bytes: number) => PATIENCE_MS + (bytes / POOR_LINE_BYTES_PER_S) * 1_000;

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
  const bytes = request.json === undefined ? 0 : JSON.stringify(request.json).length;
  return await tryAgain(wire, { bytes, once: (one) => ask(one, request) });
}

type Tries<T> = { bytes: number; once: (wire: Wire) => Promise<T> };

/** A server that is only slow is given twice as long at each try. */
export async function tryAgain<T>(wire: Wire, { bytes, once }: Tries<T>): Promise<T> {
  for (let after_ms = patienceFor(bytes); ; after_ms *= 2) {
    const { ended, isLetGo } = await tryOnce(wire, { after_ms, once });
    if (!isLetGo || wire.signal?.aborted) {
      return ended;
    }
  }
}

async function tryOnce<T>(
  wire: Wire,
  { after_ms, once }: { after_ms: number; once: Tries<T>["once"] },
): Promise<{ ended: T; isLetGo: boolean }> {
  const answered = new AbortController();
  const letGo = new AbortController();
  isHeard(wire, { after_ms, signal: answered.signal })
    .then((heard) => heard && letGo.abort())
    .catch(reportError);
  const signal = AbortSignal.any([letGo.signal, ...(wire.signal ? [wire.signal] : [])]);
  const alive = () => {
    answered.abort();
    wire.alive?.();
  };
  try {
    const ended = await once({ ...wire, signal, alive });
    return { ended, isLetGo: letGo.signal.aborted };
  } finally {
    answered.abort();
  }
}
