/** The smallest step of the gauge in use, as it is written on its card: psi on one, microns on another. */
import { parseQuantity } from "../../../../format/units";
import type { Entered, Instrument } from "../../../../local/rows";
import type { Field } from "../../../parts/reading/entry";

const RESOLUTION = "gauge_resolution_pa";

/** Beyond rounding of the same step in another unit. */
const SAME = 0.01;

/** What the card of the gauge in use says, where the hold is judged with another step. */
export function otherResolution(
  instruments: Instrument[],
  { setup, used }: { setup: Field[]; used: unknown },
): { name: string; said: string } | null {
  const field = setup.find(({ name }) => name === RESOLUTION);
  if (!field || typeof used !== "number") return null;
  for (const { name, resolution } of instruments) {
    const said = parseQuantity(resolution, { quantity: field.quantity });
    if (said === null) continue;
    const isSame = Math.abs(said - used) <= SAME * Math.max(said, used);
    return isSame ? null : { name, said: resolution.trim() };
  }
  return null;
}

export function resolutionOf(instruments: Instrument[], setup: Field[]): Entered {
  const field = setup.find(({ name }) => name === RESOLUTION);
  const isOfGauge = ({ resolution }: Instrument) =>
    field !== undefined && parseQuantity(resolution, { quantity: field.quantity }) !== null;
  const said = instruments.find(isOfGauge)?.resolution.trim() ?? "";
  const [, text = "", unit = ""] = /^([-\d.,]+)\s*(.+)$/.exec(said) ?? [];
  return text ? { [RESOLUTION]: { text, unit } } : {};
}
