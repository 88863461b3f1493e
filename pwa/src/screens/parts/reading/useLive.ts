import { useEffect, useState } from "preact/hooks";
import { compute } from "../../../trade/bridge";
import type { EngineError, Reason, Verdict } from "../../../trade/types";

/** What every calculation may give; each has numbers of its own besides. */
export type Result = {
  verdict?: Verdict;
  reasons?: Reason[];
  next?: string[];
  cautions?: string[];
  [name: string]: unknown;
};

export type Live<R extends Result = Result> =
  | { kind: "none" }
  | { kind: "result"; result: R }
  | { kind: "problem"; problem: EngineError };

/**
 * The result as one types, worked out on this phone. An answer that comes after a newer question
 * is dropped; while it is worked out the last one stays.
 */
export function useLive<R extends Result>(
  calculation: string,
  { inputs }: { inputs: object | null },
): Live<R> {
  const [live, setLive] = useState<Live<R>>({ kind: "none" });
  const key = inputs && JSON.stringify(inputs);
  useEffect(() => {
    if (!inputs) return setLive({ kind: "none" });
    let wanted = true;
    compute<R>(calculation, inputs).then((answer) => {
      if (!wanted) return;
      setLive(
        answer.ok
          ? { kind: "result", result: answer.result }
          : { kind: "problem", problem: answer.error },
      );
    });
    return () => {
      wanted = false;
    };
  }, [calculation, key]);
  return live;
}
