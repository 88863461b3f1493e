import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";

type Wanted = { isWanted: boolean; onFailed?: () => void };

/**
 * A part of a screen that is fetched when it is first wanted: from this phone where the app is
 * installed, so with no signal too. Where it cannot be had, the caller says what happens instead.
 */
export function useChunk<P>(
  load: () => Promise<{ default: ComponentType<P> }>,
  { isWanted, onFailed }: Wanted,
): ComponentType<P> | undefined {
  const [part, setPart] = useState<ComponentType<P>>();
  useEffect(() => {
    if (!isWanted || part) return;
    load().then(
      (found) => setPart(() => found.default),
      (problem) => {
        if (!onFailed) throw problem;
        onFailed();
      },
    );
  }, [isWanted]);
  return part;
}
