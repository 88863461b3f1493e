import { useState } from "preact/hooks";
import { UpdateNotice } from "../../components/UpdateNotice";
import { applyUpdate, updateReady } from "../../offline/updates";

/** A new version is offered on the first screen of each role, and can wait. */
export function LiveUpdate() {
  const [isPutOff, setPutOff] = useState(false);
  if (!updateReady.value || isPutOff) return null;
  return <UpdateNotice onTake={() => void applyUpdate()} onLater={() => setPutOff(true)} />;
}
