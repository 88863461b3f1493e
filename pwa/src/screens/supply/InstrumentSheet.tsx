import { useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { Sheet } from "../../components/Sheet";
import { TextField } from "../../components/TextField";
import type { Instrument } from "../../local/rows";
import { t } from "../../text";

type Props = {
  instrument: Instrument | null;
  onKeep: (instrument: Instrument) => void;
  onClose: () => void;
};

export function InstrumentSheet({ instrument, onKeep, onClose }: Props) {
  const [value, setValue] = useState<Instrument>(
    instrument ?? { name: "", range: "", resolution: "", calibrated_on: null },
  );
  const change = (part: Partial<Instrument>) => setValue({ ...value, ...part });
  const keep = () => {
    onKeep(value);
    onClose();
  };
  return (
    <Sheet
      title={t("supply.instrument")}
      under={t("supply.instrument_hint")}
      onClose={onClose}
      bottom={
        <Button
          kind="primary"
          notYet={value.name.trim() === "" ? t("supply.instrument_name_needed") : undefined}
          onPress={keep}
        >
          {t("common.save")}
        </Button>
      }
    >
      <TextField
        label={t("supply.instrument_name")}
        value={value.name}
        onInput={(name) => change({ name })}
      />
      <TextField
        type="date"
        label={t("supply.calibrated_on")}
        value={value.calibrated_on ?? ""}
        onInput={(day) => change({ calibrated_on: day === "" ? null : day })}
      />
      <TextField
        label={t("supply.instrument_range")}
        value={value.range}
        onInput={(range) => change({ range })}
      />
      <TextField
        label={t("supply.instrument_resolution")}
        value={value.resolution}
        onInput={(resolution) => change({ resolution })}
      />
    </Sheet>
  );
}
