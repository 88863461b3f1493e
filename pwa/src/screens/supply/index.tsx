import { CheckAt } from "../check";

/** The supply of one module has an address of its own: module after module, from the line of steps. */
export default function Supply({ id, unit }: { id: string; unit: string }) {
  return <CheckAt id={id} calculation="supply_power" asked={{ unit, from: "step" }} />;
}
