/** What every field should hold, worked out from the receipts alone. */
import type { Written } from "./journal.ts";
import { isAside, type Receipt } from "./verdict.ts";

type Field = [entity: string, name: string, value: unknown];

const SAYS: Record<string, (one: Written) => Field[]> = {
  "issue.raise": ({ entity, fields }) => [[entity, "words", fields["words"]]],
  "issue.set": ({ entity, fields }) =>
    Object.entries(fields).map(([name, value]): Field => [entity, name, value]),
  "unit.set": ({ entity, fields }) =>
    Object.entries(fields).map(([name, value]): Field => [entity, name, value]),
  "step.mark": ({ entity, fields }) =>
    fields["note"] === null ? [] : [[entity, "note", fields["note"]]],
};

/** What stands in a history for good, with the words that it was said in. */
const ADDS = /^(issue\.(raise|answer|prove|send_back)|reading\.record)$/;

/** Each line that these deeds left, as the server is asked for it. */
export function linesOf(deeds: Receipt[], written: Map<string, Written>): string[] {
  return deeds.flatMap(({ id }) => {
    const one = written.get(id);
    if (!one || !ADDS.test(one.type)) return [];
    const { entity, fields } = one;
    const said = [entity, fields["words"] ?? fields["reason"], fields["promised_on"] ?? null];
    return [JSON.stringify(said)];
  });
}

/** By "entity field"; a job's receipts are in the order of its revisions. */
export function lastWords(
  receipts: Receipt[],
  written: Map<string, Written>,
): Map<string, unknown> {
  const last = new Map<string, unknown>();
  const taken = receipts.filter((one) => !isAside(one)).toSorted((a, b) => a.rev - b.rev);
  for (const { id } of taken) {
    const one = written.get(id);
    for (const [entity, name, value] of (one && SAYS[one.type]?.(one)) ?? []) {
      last.set(`${entity} ${name}`, value);
    }
  }
  return last;
}
