import { SyncBar } from "../../components/SyncBar";
import { useSync } from "../../queries/sync";

/** The state of sync, live. */
export function LiveSync() {
  return <SyncBar sync={useSync().value} />;
}
