import "../../text/checks";
import { ButtonLink } from "../../components/Button";
import type { SystemRow, UnitRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { wordsFor } from "../parts/unit-words";
import type { FormRow } from "./forms";
import { checkPath, checksOfStep, checksOfUnit, type From, isOn, nextUnit } from "./places";

type LinkProps = {
  view: JobView;
  system: SystemRow | undefined;
  unit: UnitRow | undefined;
  row: FormRow;
  from: From;
};

function CheckLink({ row, from, ...at }: LinkProps) {
  const name = wordsFor("calculation", row.calculation);
  // On its own page a unit need not be named.
  const tag = from === "unit" ? undefined : at.unit?.tag;
  return (
    <ButtonLink kind="quiet" href={checkPath(row, { ...at, from })}>
      {tag ? t("check.on_unit", { name, tag }) : name}
    </ButtonLink>
  );
}

/** What is measured for a step: on the system, or on the unit that is next. */
export function StepChecks({
  view,
  system,
  code,
}: {
  view: JobView;
  system: SystemRow | undefined;
  code: string;
}) {
  const rows = checksOfStep(code).filter((row) => !row.path && system && isOn(row, system));
  const links = rows.flatMap((row) => {
    const unit = row.kinds.length > 0 ? nextUnit(row, { view, system }) : undefined;
    return row.kinds.length > 0 && !unit ? [] : [{ row, unit }];
  });
  if (links.length === 0) return null;
  return (
    <div class="stack">
      {links.map(({ row, unit }) => (
        <CheckLink key={row.calculation} {...{ view, system, unit, row }} from="step" />
      ))}
    </div>
  );
}

/** What can be measured at a unit. */
export function UnitChecks({ view, unit }: { view: JobView; unit: UnitRow }) {
  const rows = checksOfUnit(unit);
  const system = view.systemById.get(unit.system_id ?? "");
  if (rows.length === 0) return null;
  return (
    <section class="stack">
      <h2 class="section-title">{t("checks.title")}</h2>
      {rows.map((row) => (
        <CheckLink key={row.calculation} {...{ view, system, unit, row }} from="unit" />
      ))}
    </section>
  );
}
