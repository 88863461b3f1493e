import { useState } from "preact/hooks";
import type { Result } from "../../local/result";
import { failureWords } from "./failure";

/** For what is done by one press and shows by itself when it is done: only what went wrong is said. */
export function useDoing() {
  const [trouble, setTrouble] = useState<string>();
  const run = async (deed: () => Promise<Result>): Promise<boolean> => {
    const done = await deed();
    setTrouble(done.ok ? undefined : failureWords(done));
    return done.ok;
  };
  return { trouble, run };
}
