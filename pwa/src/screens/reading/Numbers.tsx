import type { ReadingRow } from "../../local/rows";
import { t } from "../../text";
import { flatValues } from "./flat";
import { pathWords, siWords } from "./raw-words";
import { type TypedRow, typedRows } from "./typed-rows";

type NameOf = { nameOf: (id: string) => string };

function Rows({ rows, calculation }: { rows: TypedRow[]; calculation: string }) {
  return (
    <dl class="facts facts-long">
      {rows.map(({ path, words }) => (
        <div key={path} class="fact">
          <dt>{pathWords(path, { calculation })}</dt>
          <dd class="number">{words}</dd>
        </div>
      ))}
    </dl>
  );
}

/** What was typed, with the unit it was typed in. */
export function Typed({ reading, zone, nameOf }: { reading: ReadingRow; zone: string } & NameOf) {
  const rows = typedRows(reading.entered, { zone, nameOf });
  if (rows.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{t("record.typed")}</h2>
      <Rows rows={rows} calculation={reading.calculation} />
    </section>
  );
}

type OfProps = { title: string; values: Record<string, unknown>; calculation: string } & NameOf;

function Folded({ title, values, calculation, nameOf }: OfProps) {
  const of = { calculation, nameOf };
  const rows = flatValues(values).map((one) => ({ path: one.path, words: siWords(one, of) }));
  if (rows.length === 0) return null;
  return (
    <details class="details">
      <summary>{title}</summary>
      <div>
        <Rows rows={rows} calculation={calculation} />
      </div>
    </details>
  );
}

/** What the engine took and gave, in SI, for whoever works it out once more. */
export function InAndOut({ reading, nameOf }: { reading: ReadingRow } & NameOf) {
  const { calculation, inputs, outputs } = reading;
  return (
    <>
      <Folded title={t("record.inputs")} values={inputs} {...{ calculation, nameOf }} />
      <Folded title={t("record.outputs")} values={outputs} {...{ calculation, nameOf }} />
    </>
  );
}
