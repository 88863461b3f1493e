/**
 * A live value that several components may look at: started by the first, shared by all, and kept
 * for a moment after the last has gone, so that going back to a screen shows it at once.
 */
import { type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";

/** Long enough to walk from one screen to the next and back. */
const LINGER_MS = 15_000;

type Stop = () => void;
export type Start<T> = (set: (value: T) => void) => Stop;
type Source = {
  value: Signal<unknown>;
  lookers: number;
  stop: Stop;
  lingering: ReturnType<typeof setTimeout> | undefined;
};

const sources = new Map<string, Source>();

function sourceOf<T>(key: string, start: Start<T>): Source {
  const known = sources.get(key);
  if (known) {
    return known;
  }
  const value = signal<unknown>(undefined);
  const stop = start((next) => {
    value.value = next;
  });
  const source: Source = { value, lookers: 0, stop, lingering: undefined };
  sources.set(key, source);
  // A component that is never mounted (its screen was left while loading) must not keep it alive.
  source.lingering = setTimeout(() => end(key, source), LINGER_MS);
  return source;
}

function end(key: string, source: Source): void {
  if (source.lookers === 0 && sources.get(key) === source) {
    sources.delete(key);
    source.stop();
  }
}

/** Look at a shared value from outside a component; call what it returns when done. */
export function retain<T>(
  key: string,
  start: Start<T>,
): { value: ReadonlySignal<T | undefined>; release: Stop } {
  const source = sourceOf(key, start);
  source.lookers += 1;
  clearTimeout(source.lingering);
  const release = () => {
    source.lookers -= 1;
    source.lingering = setTimeout(() => end(key, source), LINGER_MS);
  };
  return { value: source.value as Signal<T | undefined>, release };
}

export function useShared<T>(key: string, start: Start<T>): ReadonlySignal<T | undefined> {
  // The key says all that start depends on.
  const source = useMemo(() => sourceOf(key, start), [key]);
  useEffect(() => retain(key, start).release, [key]);
  return source.value as Signal<T | undefined>;
}
