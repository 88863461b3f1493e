import { useEffect, useState } from "preact/hooks";
import { compute } from "../../../trade/bridge";

/** A table that the engine holds, such as sizes of tube: asked for once, null until it is there. */
export function useTable<R>(calculation: string): R | null {
  const [table, setTable] = useState<R | null>(null);
  useEffect(() => {
    let wanted = true;
    compute<R>(calculation, {}).then((answer) => {
      if (wanted && answer.ok) setTable(answer.result);
    });
    return () => {
      wanted = false;
    };
  }, [calculation]);
  return table;
}
