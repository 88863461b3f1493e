import type { CheckedSheet } from "../../actions/checkSheet";
import { StateShape } from "../../components/StateShape";
import { t } from "../../text";
import { countsByKind, isClean } from "./job-form";

type Props = { file: string; checked: CheckedSheet };

export function SheetResult({ file, checked }: Props) {
  return isClean(checked) ? (
    <Clean file={file} checked={checked} />
  ) : (
    <BadRows file={file} checked={checked} />
  );
}

function Clean({ file, checked }: Props) {
  const { units, systems, limits = {} } = checked;
  const { source, ...numbers } = limits;
  return (
    <section class="verdict verdict-pass" aria-live="polite">
      <div class="verdict-head">
        <StateShape state="pass" says="shape" />
        <h3>{t("new_job.clean", { file, count: units.length, systems: systems.length })}</h3>
      </div>
      <ul class="sheet-counts">
        {countsByKind(checked).map(({ kind, count }) => (
          <li key={kind}>{t(`new_job.kind.${kind}`, { count })}</li>
        ))}
      </ul>
      <ul>
        {systems.map(({ id, tag, kind, refrigerant }) => (
          <li key={id}>
            {t("new_job.system_line", { tag, kind: t(`system_kind.${kind}`), refrigerant })}
          </li>
        ))}
        {source && (
          <li>{t("new_job.limits_line", { count: Object.keys(numbers).length, source })}</li>
        )}
      </ul>
    </section>
  );
}

function BadRows({ file, checked }: Props) {
  const rows = new Set(checked.errors.map((error) => error.row));
  const words = rows.has(0) ? "new_job.bad_sheet" : "new_job.bad";
  return (
    <section class="verdict verdict-fail" aria-live="polite">
      <div class="verdict-head">
        <StateShape state="fail" says="shape" />
        <h3>{t(words, { file, count: rows.size })}</h3>
      </div>
      <p>{t("new_job.bad_hint")}</p>
      <table class="sheet-errors">
        <thead>
          <tr>
            <th scope="col">{t("new_job.bad_row")}</th>
            <th scope="col">{t("new_job.bad_column")}</th>
            <th scope="col">{t("new_job.bad_reason")}</th>
          </tr>
        </thead>
        <tbody>
          {checked.errors.map(({ row, column, reason }) => (
            <tr key={`${row} ${column} ${reason}`}>
              <td class="number">{row || t("new_job.bad_whole")}</td>
              <td>{column}</td>
              <td>{reason}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
