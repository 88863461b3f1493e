/** What can be chosen anew on a card, in words. */
import type { StepState, VisitPurpose, WhoMustAct } from "../../local/rows";
import { isStanding } from "../../queries/visits";
import { t } from "../../text";
import { placeOf, wordsFor } from "../parts/unit-words";
import { type Known, visitWords } from "./field-words";
import type { MendableField } from "./mendable";

export type Choices = {
  options: { value: string; label: string }[];
  /** The line for no choice. */
  empty: string | undefined;
  /** Without a choice it cannot be taken. */
  mustChoose: boolean;
};

const PURPOSES: readonly VisitPurpose[] = ["part_one", "part_two", "follow_up"];
const STATES: readonly StepState[] = ["todo", "done", "failed", "not_applicable"];
const WHO: readonly WhoMustAct[] = [
  "contractor",
  "technician",
  "dispatcher",
  "electrician",
  "customer",
];

function ofCodes(codes: readonly string[], { prefix }: { prefix: string }): Choices {
  const options = codes.map((value) => ({ value, label: wordsFor(prefix, value) }));
  return { options, empty: undefined, mustChoose: false };
}

function visits({ view }: Known, { except }: { except: unknown }): Choices {
  const open = view?.visits.filter((one) => isStanding(one) && one.id !== except) ?? [];
  const options = open.map(({ id }) => ({ value: id, label: visitWords(id, { view }) }));
  return { options, empty: t("attention.no_visit"), mustChoose: false };
}

function people({ people: all = [] }: Known): Choices {
  const technicians = all.filter((person) => person.role === "technician");
  const options = technicians.map(({ id, name }) => ({ value: id, label: name }));
  return { options, empty: t("attention.choose"), mustChoose: true };
}

function units({ view }: Known): Choices {
  const options = view?.units.map((unit) => ({
    value: unit.id,
    label: `${unit.tag} · ${placeOf(unit)}`,
  }));
  return { options: options ?? [], empty: t("attention.choose"), mustChoose: true };
}

/** `sent` is what was sent at first: the visit that was not taken is not offered again. */
export function choicesOf(
  field: MendableField,
  known: Known,
  { sent }: { sent: unknown },
): Choices {
  if (field === "purpose") return ofCodes(PURPOSES, { prefix: "purpose" });
  if (field === "state") return ofCodes(STATES, { prefix: "attention.state" });
  if (field === "who_must_act") return ofCodes(WHO, { prefix: "who" });
  if (field === "visit_id") return visits(known, { except: sent });
  if (field === "person_id") return people(known);
  if (field === "unit_id") return units(known);
  const alone = field === "step_id" ? "attention.no_step" : "attention.replaces_none";
  return { options: [], empty: t(alone), mustChoose: false };
}
