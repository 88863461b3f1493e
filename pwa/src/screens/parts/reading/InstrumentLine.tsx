import { useState } from "preact/hooks";
import { Button } from "../../../components/Button";
import { wallClock } from "../../../format/zoned";
import type { KeptInstrument } from "../../../local/preferences";
import { usePreferences } from "../../../queries/preferences";
import { InstrumentSheet } from "./InstrumentSheet";
import { calibrationDoubts, instrumentWords } from "./instruments";

type Props = { zone: string; inUse: KeptInstrument[]; onChoose: (ids: string[]) => void };

/** What is in the hand, and what is to be said of its calibration. */
export function InstrumentLine({ zone, inUse, onChoose }: Props) {
  const [sheet, setSheet] = useState<"closed" | "open">("closed");
  const instruments = usePreferences().value?.instruments ?? [];
  const today = wallClock(Date.now(), { zone }).date;
  return (
    <>
      <Button kind="quiet" onPress={() => setSheet("open")}>
        {instrumentWords(inUse, { zone })}
      </Button>
      {calibrationDoubts(inUse, { today }).map((words) => (
        <p key={words} class="quiet-text">
          {words}
        </p>
      ))}
      {sheet === "open" && (
        <InstrumentSheet
          instruments={instruments}
          chosen={inUse.map((one) => one.id)}
          onChoose={onChoose}
          onClose={() => setSheet("closed")}
        />
      )}
    </>
  );
}
