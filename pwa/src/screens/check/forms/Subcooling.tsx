import type { FormProps } from "../../parts/reading/ReadingScreen";
import { LineTemperature } from "./LineTemperature";

export default function Subcooling(at: FormProps) {
  return <LineTemperature calculation="subcooling" at={at} />;
}
