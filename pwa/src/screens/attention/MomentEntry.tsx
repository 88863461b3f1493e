import { TextField } from "../../components/TextField";
import { instantAt, timeOfDay, wallClock } from "../../format/zoned";
import { t } from "../../text";
import { type Known, zoneOf } from "./field-words";

type Props = {
  label: string;
  error: string | undefined;
  value: unknown;
  known: Known;
  onEnter: (moment: string) => void;
};

/** A day and a time on the clock of the site; with one of the two taken away what was there stays. */
export function MomentEntry({ label, error, value, known, onEnter }: Props) {
  const zone = zoneOf(known);
  const at = Date.parse(String(value));
  const { date, minutes } = wallClock(Number.isNaN(at) ? Date.now() : at, { zone });
  const time = timeOfDay(minutes);
  const enter = (part: { date?: string; time?: string }) => {
    const moment = { date, time, ...part };
    if (moment.date === "" || moment.time === "") return;
    onEnter(new Date(instantAt(moment.date, { time: moment.time, zone })).toISOString());
  };
  return (
    <div class="attention-pair">
      <TextField
        label={t("attention.day_of", { field: label })}
        type="date"
        error={error}
        value={date}
        onInput={(to) => enter({ date: to })}
      />
      <TextField
        label={t("attention.time_of", { field: label })}
        type="time"
        value={time}
        onInput={(to) => enter({ time: to })}
      />
    </div>
  );
}
