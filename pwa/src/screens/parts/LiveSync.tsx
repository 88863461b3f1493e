import { sendNow } from "../../actions/sendNow";
import { SyncBar } from "../../components/SyncBar";
import { useSync } from "../../queries/sync";

type Props = {
  says?: "all" | "waits";
  /** "listed" where the screen itself lists what needs attention. */
  attention?: "counted" | "listed";
};

/** The state of sync, live. */
export function LiveSync({ says = "all", attention = "counted" }: Props) {
  const sync = useSync().value;
  const shown = attention === "listed" ? { ...sync, attention: 0 } : sync;
  return <SyncBar sync={shown} says={says} onSendNow={() => void sendNow()} />;
}
