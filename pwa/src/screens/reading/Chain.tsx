import { ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { readingWhen } from "../parts/reading-words";
import { type ReadingFrom, readingPath } from "../parts/stored-readings";

type Of = { reading: ReadingRow; view: JobView; from: ReadingFrom };

function laterOnes({ reading, view }: Omit<Of, "from">): ReadingRow[] {
  return view.readings.filter((one) => one.replaces_id === reading.id);
}

/** Two people with no signal can each correct the same reading: both are named. */
export function ReplacedBy({ reading, view, from }: Of) {
  return (
    <>
      {laterOnes({ reading, view }).map((later) => (
        <Notice key={later.id} kind="doubt">
          <p>{t("record.replaced_by", { when: readingWhen(later, { view }) })}</p>
          <ButtonLink href={readingPath(later, { from })}>{t("record.open_later")}</ButtonLink>
        </Notice>
      ))}
    </>
  );
}

/** A reading is never edited: what it corrects stays and can be looked at. */
export function Replaces({ reading, view, from }: Of) {
  const before = view.readings.find((one) => one.id === reading.replaces_id);
  if (!before) return null;
  return (
    <section class="stack">
      <p>{t("record.replaces", { when: readingWhen(before, { view }) })}</p>
      <ButtonLink href={readingPath(before, { from })}>{t("record.open_earlier")}</ButtonLink>
    </section>
  );
}
