import { useState } from "preact/hooks";
import { forgetInstrument, keepInstrument } from "../../../actions/prefer";
import { Button } from "../../../components/Button";
import { Chips } from "../../../components/Choice";
import { Sheet } from "../../../components/Sheet";
import { TextField } from "../../../components/TextField";
import type { KeptInstrument } from "../../../local/preferences";
import type { Instrument } from "../../../local/rows";
import { t } from "../../../text";

const NEW: Instrument = { name: "", range: "", resolution: "", calibrated_on: null };

type OneProps = {
  instrument: KeptInstrument | null;
  onKept: (id: string) => void;
  onForgotten: (id: string) => void;
  onClose: () => void;
};

/** One instrument: what it is, and how far it can be trusted. */
function OneInstrument({ instrument, onKept, onForgotten, onClose }: OneProps) {
  const [value, setValue] = useState<Instrument>(instrument ?? NEW);
  const change = (part: Partial<Instrument>) => setValue({ ...value, ...part });
  const keep = async () => onKept(await keepInstrument(value, { id: instrument?.id }));
  const forget = async () => {
    if (!instrument) return;
    await forgetInstrument(instrument.id);
    onForgotten(instrument.id);
  };
  const unnamed = value.name.trim() === "" ? t("instrument.name_needed") : undefined;
  return (
    <Sheet
      title={instrument ? instrument.name : t("instrument.new")}
      under={t("instrument.under")}
      onClose={onClose}
      bottom={
        <Button kind="primary" notYet={unnamed} onPress={() => void keep()}>
          {t("common.save")}
        </Button>
      }
    >
      <TextField
        label={t("instrument.name")}
        hint={t("instrument.name_hint")}
        value={value.name}
        onInput={(name) => change({ name })}
      />
      <TextField
        type="date"
        label={t("instrument.calibrated_on")}
        value={value.calibrated_on ?? ""}
        onInput={(day) => change({ calibrated_on: day === "" ? null : day })}
      />
      <TextField
        label={t("instrument.resolution")}
        hint={t("instrument.resolution_hint")}
        value={value.resolution}
        onInput={(resolution) => change({ resolution })}
      />
      <TextField
        label={t("instrument.range")}
        value={value.range}
        onInput={(range) => change({ range })}
      />
      {instrument && <Button onPress={() => void forget()}>{t("instrument.forget")}</Button>}
    </Sheet>
  );
}

type Props = {
  instruments: KeptInstrument[];
  chosen: string[];
  onChoose: (ids: string[]) => void;
  onClose: () => void;
};

/** Which of a person's instruments took this reading; all are kept on this phone. */
export function InstrumentSheet({ instruments, chosen, onChoose, onClose }: Props) {
  const [open, setOpen] = useState<KeptInstrument | "new" | null>(
    instruments.length === 0 ? "new" : null,
  );
  if (open) {
    return (
      <OneInstrument
        instrument={open === "new" ? null : open}
        onKept={(id) => {
          onChoose([...chosen.filter((one) => one !== id), id]);
          // The first one ever is the one in the hand.
          if (instruments.length === 0) onClose();
          else setOpen(null);
        }}
        onForgotten={(id) => {
          onChoose(chosen.filter((one) => one !== id));
          setOpen(null);
        }}
        onClose={() => (instruments.length === 0 ? onClose() : setOpen(null))}
      />
    );
  }
  return (
    <Sheet
      title={t("instrument.title")}
      under={t("instrument.under")}
      onClose={onClose}
      bottom={
        <Button kind="primary" onPress={onClose}>
          {t("check.done")}
        </Button>
      }
    >
      <Chips
        label={t("instrument.pick")}
        options={instruments.map((one) => ({ value: one.id, label: one.name }))}
        values={chosen}
        onChange={onChoose}
      />
      <div class="stack">
        {instruments.map((one) => (
          <Button key={one.id} kind="quiet" onPress={() => setOpen(one)}>
            {t("instrument.edit", { name: one.name })}
          </Button>
        ))}
        <Button kind="quiet" icon="plus" onPress={() => setOpen("new")}>
          {t("instrument.add")}
        </Button>
      </div>
    </Sheet>
  );
}
