import { HARD_SPACE } from "../../../../format/number";
import { t } from "../../../../text";
import type { Reading } from "../../../parts/reading/useReading";
import { quantityWords } from "../../../parts/reading/value-words";
import { type Lines, lineName } from "./lines";

type LineResult = { mass_kg: number; factor_mass_kg: number | null };
type Props = { form: Reading<Lines>; result: Record<string, unknown> };

/** In a narrow cell with large text number and unit may part. */
function cellWords(kg: number, form: Reading<Lines>): string {
  return quantityWords(kg, "mass", form.units).replace(HARD_SPACE, " ");
}

/** Line by line: worked out, and by the maker's factors where they are given. */
export function ChargeTable({ form, result }: Props) {
  const lines = result["lines"] as LineResult[];
  const total = result["factor_mass_kg"] as number | null;
  const mass = (kg: number | null) => (kg === null ? "–" : cellWords(kg, form));
  const hasFactors = lines.some((line) => line.factor_mass_kg !== null);
  if (lines.length < 2 && !hasFactors) return null;
  return (
    <table class="small-table">
      <thead>
        <tr>
          <th scope="col">{t("extra_charge.of_line")}</th>
          <th scope="col">{t("extra_charge.worked_out")}</th>
          {hasFactors && <th scope="col">{t("extra_charge.by_maker")}</th>}
        </tr>
      </thead>
      <tbody>
        {lines.map((line, index) => (
          // A line has no name of its own that would not change while it is typed.
          <tr key={index}>
            <th scope="row">
              {lineName(form.draft.own.lines[index] ?? { size: "", label: "" }, { index })}
            </th>
            <td>{mass(line.mass_kg)}</td>
            {hasFactors && <td>{mass(line.factor_mass_kg)}</td>}
          </tr>
        ))}
        <tr>
          <th scope="row">{t("extra_charge.together")}</th>
          <td>{mass(result["mass_kg"] as number)}</td>
          {hasFactors && <td>{mass(total)}</td>}
        </tr>
      </tbody>
    </table>
  );
}
