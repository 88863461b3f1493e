import { sendNow } from "../../actions/sendNow";
import { SyncBar } from "../../components/SyncBar";
import { useSync } from "../../queries/sync";

/** The state of sync, live. */
export function LiveSync({ says = "all" }: { says?: "all" | "waits" }) {
  return <SyncBar sync={useSync().value} says={says} onSendNow={() => void sendNow()} />;
}
