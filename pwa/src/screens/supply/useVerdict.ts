import { useEffect, useState } from "preact/hooks";
import { compute } from "../../trade/bridge";
import type { EngineError, SupplyVerdict } from "../../trade/types";

export type Live =
  | { kind: "none" }
  | { kind: "verdict"; result: SupplyVerdict }
  | { kind: "problem"; problem: EngineError };

/** The verdict as one types. An answer that comes after a newer question is dropped. */
export function useVerdict(inputs: Record<string, unknown> | null): Live {
  const [live, setLive] = useState<Live>({ kind: "none" });
  const key = inputs && JSON.stringify(inputs);
  useEffect(() => {
    if (!inputs) {
      setLive({ kind: "none" });
      return;
    }
    let wanted = true;
    compute<SupplyVerdict>("supply_power", inputs).then((answer) => {
      if (!wanted) return;
      setLive(
        answer.ok
          ? { kind: "verdict", result: answer.result }
          : { kind: "problem", problem: answer.error },
      );
    });
    return () => {
      wanted = false;
    };
  }, [key]);
  return live;
}
