import "../../text/checks";
import { StateShape, StateWord } from "../../components/StateShape";
import type { ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { serverWords } from "./reading/differs";
import { enteredWords, readingTitle, readingWhen, readingWhere } from "./reading-words";
import { type ReadingFrom, readingPath } from "./stored-readings";

type Props = {
  view: JobView;
  reading: ReadingRow;
  from: ReadingFrom;
  standing?: "current" | "replaced";
};

/** One stored reading of a list: its verdict, what was typed, whether the server differs; opens it whole. */
export function ReadingLink({ view, reading, from, standing = "current" }: Props) {
  const server = serverWords(reading);
  // On the unit's own page the unit need not be named.
  const where = from === "unit" ? "" : readingWhere(reading, { view });
  return (
    <a class="unit-row unit-row-top" href={readingPath(reading, { from })}>
      <StateShape state={reading.verdict ?? "figure"} says="shape" />
      <span class="unit-row-words">
        <b>{readingTitle(reading)}</b>
        {where && <span class="block">{where}</span>}
        <span class="block">{enteredWords(reading)}</span>
        {server && <StateWord state="differs">{server}</StateWord>}
        <span class="quiet-text block">
          {readingWhen(reading, { view })}
          {standing === "replaced" && ` · ${t("unit.replaced")}`}
        </span>
      </span>
    </a>
  );
}
