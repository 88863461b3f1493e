import { useEffect, useState } from "preact/hooks";
import type { UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { compute } from "../../trade/bridge";
import type { RoundOrder } from "../../trade/types";

/**
 * The units in walking order, from the engine. Until it has answered, and if it
 * cannot, they stand as on the sheet, by floor and tag: nobody waits for an order.
 */
export function useRound(view: JobView): UnitRow[] {
  const [order, setOrder] = useState<string[]>([]);
  const key = view.units.map((unit) => `${unit.id}${unit.floor_order}${unit.place}`).join();
  useEffect(() => {
    let wanted = true;
    const units = view.units.map((unit) => ({
      unit: unit.id,
      tag: unit.tag,
      floor: unit.floor ?? "",
      ...(unit.floor_order === null ? {} : { floor_order: unit.floor_order }),
      place: unit.place,
    }));
    compute<RoundOrder>("round_order", { units }).then((answer) => {
      if (wanted && answer.ok) setOrder(answer.result.order);
    });
    return () => {
      wanted = false;
    };
  }, [key]);
  const at = new Map(order.map((id, index) => [id, index]));
  const last = order.length;
  return [...view.units].sort((a, b) => (at.get(a.id) ?? last) - (at.get(b.id) ?? last));
}
