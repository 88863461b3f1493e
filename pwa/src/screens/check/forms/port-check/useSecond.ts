import { useEffect, useState } from "preact/hooks";

const SECOND_MS = 1000;

/** The time of this phone, moving on while somebody watches a clock. */
export function useSecond(): number {
  const [now_ms, setNow] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), SECOND_MS);
    return () => clearInterval(timer);
  }, []);
  return now_ms;
}
