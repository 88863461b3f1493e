import { useEffect, useState } from "preact/hooks";
import { readDraft, saveDraft } from "../../actions/drafts";
import type { Instrument } from "../../local/rows";

const KEY = "instrument:supply";

/** The meter in the hand: named once, remembered on this phone for every reading after it. */
export function useInstrument() {
  const [instrument, setInstrument] = useState<Instrument | null>(null);
  useEffect(() => {
    readDraft<Instrument>(KEY).then((found) => found && setInstrument(found));
  }, []);
  const keep = (next: Instrument) => {
    setInstrument(next);
    void saveDraft(KEY, next);
  };
  return { instrument, keep };
}
