import "../../text/checks";
import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { JobView } from "../../queries/job";
import { JobGate, NotHere } from "../parts/JobGate";
import type { FormProps } from "../parts/reading/ReadingScreen";
import { type FormRow, formOf } from "./forms";
import { backPath, checkPath, type From, nextUnit, type Place, stepFor } from "./places";

/** One check on a system or a unit, as the address says. */
export default function Check({ id, calculation }: { id: string; calculation: string }) {
  const { query } = useRoute();
  return <CheckAt id={id} calculation={calculation} asked={query} />;
}

type Props = { id: string; calculation: string; asked: Record<string, string> };

export function CheckAt({ id, calculation, asked }: Props) {
  const back = `/job/${id}/checks`;
  const row = formOf(calculation);
  return (
    <JobGate id={id} back={back}>
      {(view) => {
        const at = placeOf(view, asked);
        const isOfUnit = row !== undefined && row.kinds.length > 0;
        const isLost = isOfUnit ? !at.unit : !at.system;
        if (!row || isLost) return <NotHere back={back} />;
        return <OneCheck key={`${calculation} ${asked.unit} ${asked.system}`} row={row} at={at} />;
      }}
    </JobGate>
  );
}

type At = Place & { from: From };

function placeOf(view: JobView, query: Record<string, string>): At {
  const unit = view.unitById.get(query.unit ?? "");
  const known = view.systemById.get(query.system ?? unit?.system_id ?? "");
  const only = view.systems.length === 1 ? view.systems[0] : undefined;
  const from = query.from === "unit" || query.from === "step" ? query.from : "checks";
  return { view, unit, system: known ?? only, step: view.stepById.get(query.step ?? ""), from };
}

/** A form is begun afresh after each reading. */
function OneCheck({ row, at }: { row: FormRow; at: At }) {
  const [round, setRound] = useState(0);
  const { query } = useRoute();
  const next = at.unit && nextUnit(row, at);
  const props: FormProps = {
    view: at.view,
    system: at.system,
    unit: at.unit,
    step: stepFor(row, at),
    back: backPath(at),
    cautions: row.cautions,
    next: next ? { tag: next.tag, href: checkPath(row, { ...at, unit: next }) } : null,
    saved: query.saved ?? null,
    onAgain: () => setRound(round + 1),
  };
  const { Form } = row;
  return <Form key={round} {...props} />;
}
