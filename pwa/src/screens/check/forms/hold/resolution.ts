/** The smallest step of the gauge in use, as it is written on its card: psi on one, microns on another. */
import { parseQuantity } from "../../../../format/units";
import type { Entered, Instrument } from "../../../../local/rows";
import type { Field } from "../../../parts/reading/entry";

const RESOLUTION = "gauge_resolution_pa";

export function resolutionOf(instruments: Instrument[], setup: Field[]): Entered {
  const field = setup.find(({ name }) => name === RESOLUTION);
  const isOfGauge = ({ resolution }: Instrument) =>
    field !== undefined && parseQuantity(resolution, { quantity: field.quantity }) !== null;
  const said = instruments.find(isOfGauge)?.resolution.trim() ?? "";
  const [, text = "", unit = ""] = /^([-\d.,]+)\s*(.+)$/.exec(said) ?? [];
  return text ? { [RESOLUTION]: { text, unit } } : {};
}
