import type { FormProps } from "../../parts/reading/ReadingScreen";
import { HoldScreen } from "./hold/HoldScreen";
import { PRESSURE } from "./hold/pressure";

export default function PressureHold(at: FormProps) {
  return <HoldScreen kind={PRESSURE} at={at} />;
}
