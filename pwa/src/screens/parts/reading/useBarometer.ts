import { useState } from "preact/hooks";
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

/** Asked for once per altitude. */
export function useBarometer(): Barometer {
  const [told, setTold] = useState<Record<number, Told>>({});
  const ask = (altitude_m: number) => {
    compute<{ barometer_pa: number }>("barometer", { altitude_m }).then((answer) => {
      const one = answer.ok ? answer.result : { refused: answer.error };
      setTold((now) => (altitude_m in now ? now : { ...now, [altitude_m]: one }));
    });
  };
  const of = ({ barometer_pa, altitude_m }: Values): Told | undefined => {
    if (barometer_pa !== undefined) return { barometer_pa };
    if (altitude_m === undefined) return undefined;
    if (!told[altitude_m]) ask(altitude_m);
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
