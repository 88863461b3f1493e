import { Looking } from "../../parts/JobGate";
import type { FormProps } from "../../parts/reading/ReadingScreen";
import "../../../text/checks";
import "./port-check/port-check.css";
import { ResultScreen } from "./port-check/ResultScreen";
import { RoundScreen } from "./port-check/RoundScreen";
import { SetUpScreen } from "./port-check/SetUpScreen";
import { usePortCheck } from "./port-check/usePortCheck";

/** Which unit hangs on which port: planned, gone through round by round, and judged. */
export default function PortCheck(at: FormProps) {
  const check = usePortCheck(at);
  const { codes, place } = check.form.draft.own;
  // A check that is under way must not be met by an offer to begin one.
  if (!check.form.ready) return <Looking back={at.back} />;
  if (!codes) return <SetUpScreen check={check} />;
  if (place === "result") return <ResultScreen check={check} />;
  return <RoundScreen key={place} check={check} place={place} />;
}
