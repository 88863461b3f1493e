import { useEffect, useState } from "preact/hooks";
import { sendNow } from "../../actions/sendNow";
import { type SyncState, useSync } from "../../queries/sync";

/** So long at least a press is seen to do something, where the office is silent at once. (P) */
const SEEN_MS = 1_500;

/** Whether it has been so for a while. */
function useLasting(is: boolean): boolean {
  const [isLong, setLong] = useState(false);
  useEffect(() => {
    if (!is) return;
    const timer = setTimeout(() => setLong(true), SEEN_MS);
    return () => {
      clearTimeout(timer);
      setLong(false);
    };
  }, [is]);
  return is && isLong;
}

/**
 * The state of sync beside a button that sends now: it is under way from the moment of the press. What is tried
 * again by itself, every few seconds and in vain, is not: the words would come and go, and move the button.
 */
export function useSendNow(): { sync: SyncState; press: () => void } {
  const sync = useSync().value;
  const [presses, setPresses] = useState(0);
  const [seen, setSeen] = useState(0);
  const isAgain = sync.sending && sync.stuck !== null && sync.photo_progress === null;
  const isLongAgain = useLasting(isAgain);
  useEffect(() => {
    const timer = setTimeout(() => setSeen(presses), SEEN_MS);
    return () => clearTimeout(timer);
  }, [presses]);
  const press = () => {
    setPresses(presses + 1);
    void sendNow();
  };
  const isGoing = presses > seen || isLongAgain || (sync.sending && !isAgain);
  return { sync: { ...sync, sending: isGoing }, press };
}
