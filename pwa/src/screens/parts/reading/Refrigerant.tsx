import { t } from "../../../text";
import type { Pick, ReadingDraft } from "./entry";
import { PickField } from "./fields";
import { REFRIGERANTS, refrigerantOf } from "./system";
import type { Reading, Where } from "./useReading";

// biome-ignore lint/suspicious/noExplicitAny: what a form has of its own does not matter here.
type AnyReading = Reading<any, any>;

export function refrigerantPick(): Pick {
  return {
    name: "refrigerant",
    label: t("field.refrigerant"),
    options: REFRIGERANTS.map((name) => ({ value: name, label: name })),
  };
}

/** The refrigerant of the as-built sheet; one that the engine does not know is left open. */
export function withRefrigerant<Own extends object>(
  draft: ReadingDraft<Own>,
  { system }: Where,
): ReadingDraft<Own> {
  const refrigerant = refrigerantOf(system);
  return refrigerant ? { ...draft, picked: { ...draft.picked, refrigerant } } : draft;
}

/** Asked only where the sheet does not say it; else it stands under the title. */
export function Refrigerant({ form }: { form: AnyReading }) {
  const { system } = form.where;
  if (refrigerantOf(system) === form.draft.picked["refrigerant"] && system?.refrigerant)
    return null;
  return <PickField form={form} pick={refrigerantPick()} />;
}
