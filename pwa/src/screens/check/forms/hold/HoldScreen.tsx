import "../../../../text/checks";
import "./hold.css";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { EnterScreen } from "./EnterScreen";
import type { HoldKind } from "./kind";
import { LookScreen } from "./LookScreen";
import { useHold } from "./useHold";

/** A hold that runs by the clock: looked at, or one more reading of it typed. */
export function HoldScreen({ kind, at }: { kind: HoldKind; at: FormProps }) {
  const held = useHold(kind, at);
  const { edit } = held;
  return edit.kind === "look" ? (
    <LookScreen held={held} hold={edit.hold} />
  ) : (
    <EnterScreen held={held} />
  );
}
