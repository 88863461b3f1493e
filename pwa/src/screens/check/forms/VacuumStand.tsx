import type { FormProps } from "../../parts/reading/ReadingScreen";
import { HoldScreen } from "./hold/HoldScreen";
import { VACUUM } from "./hold/vacuum";

export default function VacuumStand(at: FormProps) {
  return <HoldScreen kind={VACUUM} at={at} />;
}
