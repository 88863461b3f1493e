import { Choice } from "../../components/Choice";
import { TextField } from "../../components/TextField";
import { formatDay } from "../../format";
import { t } from "../../text";
import { type QuickDay, quickDays } from "./promise";

type Props = {
  value: string;
  now: number;
  zone: string;
  error: string | undefined;
  onPick: (date: string) => void;
};

function dayWords({ date, daysAhead }: QuickDay, { zone }: { zone: string }): string {
  if (daysAhead === 0) return t("answer_issue.day.today");
  return daysAhead === 1 ? t("answer_issue.day.tomorrow") : formatDay(date, { zone });
}

/** The likely days as big targets, any other through the device's own calendar. */
export function PromiseField({ value, now, zone, error, onPick }: Props) {
  return (
    <div class="stack">
      <Choice
        label={t("answer_issue.promised_on")}
        layout="grid"
        options={quickDays(now * 1000, { zone }).map((day) => ({
          value: day.date,
          label: dayWords(day, { zone }),
        }))}
        value={value}
        onPick={onPick}
      />
      <TextField
        label={t("answer_issue.promised_other")}
        type="date"
        name="promised_on"
        value={value}
        error={error}
        onInput={onPick}
      />
    </div>
  );
}
