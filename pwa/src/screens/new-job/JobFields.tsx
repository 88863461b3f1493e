import { Chips } from "../../components/Choice";
import { FieldError } from "../../components/FieldError";
import { SelectField } from "../../components/SelectField";
import { TextField } from "../../components/TextField";
import { t } from "../../text";
import type { JobForm, JobProblems } from "./job-form";

type Props = {
  form: JobForm;
  problems: JobProblems;
  onChange: (parts: Partial<JobForm>) => void;
};

const WEEKDAYS = ["1", "2", "3", "4", "5", "6", "7"] as const;

/** Every zone this browser knows; the one in the form is kept even if it is not among them. */
function zoneOptions(current: string): { value: string; label: string }[] {
  const known = Intl.supportedValuesOf("timeZone");
  const all = known.includes(current) ? known : [current, ...known];
  return all.map((zone) => ({ value: zone, label: zone.replaceAll("_", " ") }));
}

export function JobFields({ form, problems, onChange }: Props) {
  return (
    <>
      <TextField
        label={t("new_job.name")}
        name="name"
        value={form.name}
        error={problems.name && t(problems.name)}
        onInput={(name) => onChange({ name })}
      />
      <TextField
        label={t("new_job.address")}
        name="address"
        value={form.address}
        error={problems.address && t(problems.address)}
        onInput={(address) => onChange({ address })}
      />
      <TextField
        label={t("new_job.firm")}
        hint={t("new_job.firm_hint")}
        name="firm"
        value={form.firm}
        error={problems.firm && t(problems.firm)}
        onInput={(firm) => onChange({ firm })}
      />
      <SelectField
        label={t("new_job.zone")}
        hint={t("new_job.zone_hint")}
        name="zone"
        value={form.zone}
        options={zoneOptions(form.zone)}
        onPick={(zone) => onChange({ zone })}
      />
      <Shift form={form} problems={problems} onChange={onChange} />
    </>
  );
}

function Shift({ form, problems, onChange }: Props) {
  return (
    <>
      <div class="office-fields">
        <TextField
          label={t("new_job.shift_start")}
          type="time"
          name="shift_start"
          value={form.shiftStart}
          onInput={(shiftStart) => onChange({ shiftStart })}
        />
        <TextField
          label={t("new_job.shift_end")}
          type="time"
          name="shift_end"
          value={form.shiftEnd}
          error={problems.shiftEnd && t(problems.shiftEnd)}
          onInput={(shiftEnd) => onChange({ shiftEnd })}
        />
      </div>
      <Chips
        label={t("new_job.shift_days")}
        options={WEEKDAYS.map((value) => ({ value, label: t(`weekday.${value}`) }))}
        values={form.shiftDays as (typeof WEEKDAYS)[number][]}
        onChange={(shiftDays) => onChange({ shiftDays })}
      />
      <FieldError id="shift-days-error">{problems.shiftDays && t(problems.shiftDays)}</FieldError>
    </>
  );
}
