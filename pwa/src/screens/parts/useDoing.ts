import { useState } from "preact/hooks";
import type { Result } from "../../local/result";
import { failureWords } from "./failure";
import { onePress } from "./one-press";

/**
 * For what is done by one press and shows by itself when it is done: only what went wrong is said. Each is for
 * one deed, after which what was pressed leaves the screen; it answers false to a press that did nothing.
 */
export function useDoing() {
  const [trouble, setTrouble] = useState<string>();
  const [press] = useState(onePress);
  const run = async (deed: () => Promise<Result>): Promise<boolean> => {
    const done = await press(deed);
    if (!done) return false;
    setTrouble(done.ok ? undefined : failureWords(done));
    return done.ok;
  };
  return { trouble, run };
}
