import { sendNow } from "../../actions/sendNow";
import { SyncBar } from "../../components/SyncBar";
import { useSync } from "../../queries/sync";

type Props = {
  says?: "all" | "waits";
  /** "listed" where the screen itself lists what needs attention. */
  attention?: "counted" | "listed";
  /** "said" where the screen itself says that access has ended. */
  ended?: "told" | "said";
};

/** The state of sync, live. */
export function LiveSync({ says = "all", attention = "counted", ended = "told" }: Props) {
  const sync = useSync().value;
  const shown = {
    ...sync,
    ...(attention === "listed" ? { attention: 0 } : {}),
    ...(ended === "said" ? { is_ended: false } : {}),
  };
  return <SyncBar sync={shown} says={says} onSendNow={() => void sendNow()} />;
}
