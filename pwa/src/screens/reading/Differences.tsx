import { StateWord } from "../../components/StateShape";
import type { ReadingRow } from "../../local/rows";
import { t } from "../../text";
import { serverWords } from "../parts/reading/differs";
import { ReasonList, verdictWords } from "../parts/reading/ResultCard";
import type { Result } from "../parts/reading/useLive";
import type { UnitsInUse } from "../parts/reading/value-words";
import { differencesOf, haveOtherReasons } from "./differences";
import { exactWords, pathWords } from "./raw-words";

type Props = { reading: ReadingRow; units: UnitsInUse; nameOf: (id: string) => string };

/** What the server works out otherwise: its number beside the phone's, every digit of both. */
export function Differences(props: Props) {
  const { reading } = props;
  const server = serverWords(reading);
  if (!server) return null;
  return (
    <section class="stack reading-differs">
      <h2>
        <StateWord state="differs">{t("record.differs")}</StateWord>
      </h2>
      <p>{server}</p>
      <Table {...props} />
      {haveOtherReasons(reading) && <Sides {...props} />}
    </section>
  );
}

function Table({ reading, nameOf }: Props) {
  const of = { calculation: reading.calculation, nameOf };
  const verdicts = [reading.verdict, reading.server_outputs?.["verdict"] ?? null];
  const rows = differencesOf(reading);
  if (rows.length === 0 && verdicts[0] === verdicts[1]) return null;
  return (
    <table class="reading-table">
      <thead>
        <tr>
          <th scope="col">{t("record.field")}</th>
          <th scope="col">{t("record.phone")}</th>
          <th scope="col">{t("record.server")}</th>
        </tr>
      </thead>
      <tbody>
        {verdicts[0] !== verdicts[1] && (
          <tr>
            <th scope="row">{t("record.verdict")}</th>
            {verdicts.map((one, at) => (
              <td key={at === 0 ? "phone" : "server"}>{one ? t(`state.${one as "pass"}`) : "–"}</td>
            ))}
          </tr>
        )}
        {rows.map(({ path, phone, server }) => (
          <tr key={path}>
            <th scope="row">{pathWords(path, of)}</th>
            <td class="number">{exactWords(path, phone, of)}</td>
            <td class="number">{exactWords(path, server, of)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The same question, judged twice. */
function Sides({ reading, units, nameOf }: Props) {
  const { calculation } = reading;
  const sides = [
    { name: t("record.phone"), result: reading.outputs as Result },
    { name: t("record.server"), result: (reading.server_outputs ?? {}) as Result },
  ];
  return (
    <div class="reading-sides">
      {sides.map(({ name, result }) => (
        <div key={name}>
          <h3>
            {name}: {verdictWords(calculation, result)}
          </h3>
          <ReasonList calculation={calculation} result={result} units={units} nameOf={nameOf} />
        </div>
      ))}
    </div>
  );
}
