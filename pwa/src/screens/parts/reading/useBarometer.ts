import { useState } from "preact/hooks";
import { compute } from "../../../trade/bridge";

/**
 * What the air weighs, from the barometer or from the altitude: the engine's own figure, asked for
 * once per altitude. Null until it is there.
 */
export function useBarometer(): (values: Record<string, number>) => number | null {
  const [known, setKnown] = useState<Record<string, number | null>>({});
  return ({ barometer_pa, altitude_m }) => {
    if (barometer_pa !== undefined) return barometer_pa;
    if (altitude_m === undefined) return null;
    const found = known[altitude_m];
    if (found === undefined) {
      compute<{ barometer_pa: number }>("barometer", { altitude_m }).then((answer) => {
        const value = answer.ok ? answer.result.barometer_pa : null;
        setKnown((now) => (altitude_m in now ? now : { ...now, [altitude_m]: value }));
      });
    }
    return found ?? null;
  };
}
