import type { ComponentChildren } from "preact";
import { Choice } from "../../components/Choice";
import { SelectField } from "../../components/SelectField";
import { TextArea, TextField } from "../../components/TextField";
import { formatDuration } from "../../format";
import type { VisitPurpose } from "../../local/rows";
import { usePeople } from "../../queries/people";
import { t } from "../../text";
import { BOOKABLE_HOURS, type VisitForm, type VisitProblems } from "./visit-form";

const PURPOSES: readonly VisitPurpose[] = ["part_one", "part_two", "follow_up"];

type Props = {
  form: VisitForm;
  problems: VisitProblems;
  onChange: (parts: Partial<VisitForm>) => void;
  /** What there is to say about the hour that is chosen. */
  children?: ComponentChildren;
  /** What there is to say about the person who is chosen. */
  ofPerson?: ComponentChildren;
};

/** When, how long, who: the same fields for the first visit and for every later one. */
export function VisitFields({ form, problems, onChange, children, ofPerson }: Props) {
  const people = usePeople().value;
  const technicians = (people ?? []).filter((person) => person.role === "technician");
  return (
    <>
      <Choice
        label={t("book.purpose")}
        options={PURPOSES.map((value) => ({ value, label: t(`purpose.${value}`) }))}
        value={form.purpose}
        onPick={(purpose) => onChange({ purpose })}
      />
      <div class="office-fields">
        <TextField
          label={t("book.day")}
          type="date"
          name="day"
          value={form.day}
          error={problems.day && t(problems.day)}
          onInput={(day) => onChange({ day })}
        />
        <TextField
          label={t("book.start")}
          type="time"
          name="start"
          value={form.start}
          error={problems.start && t(problems.start)}
          onInput={(start) => onChange({ start })}
        />
        <SelectField
          label={t("book.hours")}
          name="hours"
          value={String(form.hours)}
          options={BOOKABLE_HOURS.map((hours) => ({
            value: String(hours),
            label: formatDuration(hours * 3600),
          }))}
          onPick={(hours) => onChange({ hours: Number(hours) })}
        />
      </div>
      {children}
      <SelectField
        label={t("book.technician")}
        name="technician"
        value={technicians.some(({ id }) => id === form.personId) ? form.personId : ""}
        empty={t("new_job.technician_choose")}
        options={technicians.map(({ id, name }) => ({ value: id, label: name }))}
        error={problems.personId && t(problems.personId)}
        {...(technicians.length > 0 ? {} : { hint: t("new_job.people_offline") })}
        onPick={(personId) => onChange({ personId })}
      />
      {ofPerson}
      <TextArea
        label={t("new_job.optional", { label: t("book.note") })}
        name="note"
        value={form.note}
        onInput={(note) => onChange({ note })}
      />
    </>
  );
}
