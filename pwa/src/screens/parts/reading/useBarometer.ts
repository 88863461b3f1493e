import { useRef, useState } from "preact/hooks";
import { compute } from "../../../trade/bridge";
import type { EngineError } from "../../../trade/types";

type Values = Record<string, number>;
type Told = { barometer_pa: number } | { refused: EngineError };

/** What the air weighs, from the barometer or from the altitude. */
export type Barometer = {
  /** The engine's own figure [Pa]; null while it is worked out, and where it was refused. */
  at: (values: Values) => number | null;
  /** Why there is none for this altitude. */
  refused: (values: Values) => EngineError | undefined;
};

/** Asked for once per altitude; again where the engine gave no answer at all. */
export function useBarometer(): Barometer {
  const [told, setTold] = useState<Record<number, Told>>({});
  const asked = useRef(new Set<number>());
  const ask = async (altitude_m: number) => {
    if (asked.current.has(altitude_m)) return;
    asked.current.add(altitude_m);
    const answer = await compute<{ barometer_pa: number }>("barometer", { altitude_m });
    if (!answer.ok && answer.error.code === "engine_failed") {
      asked.current.delete(altitude_m);
      return;
    }
    const one = answer.ok ? answer.result : { refused: answer.error };
    setTold((now) => ({ ...now, [altitude_m]: one }));
  };
  const of = ({ barometer_pa, altitude_m }: Values): Told | undefined => {
    if (barometer_pa !== undefined) return { barometer_pa };
    if (altitude_m === undefined) return undefined;
    if (!told[altitude_m]) void ask(altitude_m);
    return told[altitude_m];
  };
  return {
    at: (values) => {
      const found = of(values);
      return found && "barometer_pa" in found ? found.barometer_pa : null;
    },
    refused: (values) => {
      const found = of(values);
      return found && "refused" in found ? found.refused : undefined;
    },
  };
}
