import type { FormProps } from "../../parts/reading/ReadingScreen";
import { LineTemperature } from "./LineTemperature";

export default function Superheat(at: FormProps) {
  return <LineTemperature calculation="superheat" at={at} />;
}
