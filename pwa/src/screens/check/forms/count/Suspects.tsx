import { useLocation } from "preact-iso/router";
import { readDraft, saveDraft } from "../../../../actions/drafts";
import { Button } from "../../../../components/Button";
import type { IssueRow, UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { placeOf, wordsFor } from "../../../parts/unit-words";
import type { Suspect } from "./count";

/** As many as somebody keeps in mind on the way. */
const SHOWN = 3;
const OPEN = /^(open|sent_back)$/;

type Props = { at: FormProps; open: Suspect[]; found: Suspect[] };
type RowProps = { at: FormProps; suspect: Suspect };

/** What speaks against a unit. A silent port is told in other words where a port check found it. */
function against({ reasons }: Suspect): string {
  return reasons
    .map(({ code }) => (code === "port_silent" ? t("count.port_silent") : wordsFor("reason", code)))
    .join(", ");
}

/** One press opens the issue with what it is about; a draft that was begun there stays as it is. */
function useLogging({ view }: FormProps) {
  const { route } = useLocation();
  return async (unit: UnitRow, { category }: { category: "no_power" | "missing" }) => {
    const key = `log:${view.job.id}:${unit.id}`;
    if (!(await readDraft(key))) await saveDraft(key, { category });
    route(`/job/${view.job.id}/log?unit=${unit.id}`);
  };
}

/** Logged already: once is enough. */
function loggedOf(unit: UnitRow, { view }: FormProps): IssueRow | undefined {
  return view.issuesByUnit
    .get(unit.id)
    ?.find(({ category, state }) => /^(no_power|missing)$/.test(category) && OPEN.test(state));
}

function LogKeys({ at, unit }: { at: FormProps; unit: UnitRow }) {
  const log = useLogging(at);
  const issue = loggedOf(unit, at);
  // The server gives the number: an issue that is not sent yet has none.
  if (issue?.number) return <p>{t("count.is_logged", { number: issue.number })}</p>;
  if (issue) return <p>{t("count.is_logged_here")}</p>;
  return (
    <div class="actions">
      {(["no_power", "missing"] as const).map((category) => (
        <Button
          key={category}
          kind="quiet"
          label={`${unit.tag}: ${t(`count.log_${category}`)}`}
          onPress={() => void log(unit, { category })}
        >
          {t(`count.log_${category}`)}
        </Button>
      ))}
    </div>
  );
}

function SuspectRow({ at, suspect }: RowProps) {
  const unit = at.view.units.find((one) => one.tag === suspect.unit);
  if (!unit) return null;
  const where = suspect.port
    ? t("count.suspect_on", { where: placeOf(unit), port: suspect.port })
    : placeOf(unit);
  return (
    <li class="suspect">
      <div>
        <span class="unit-row-tag">{unit.tag}</span>
        <span class="quiet-text block">{where}</span>
        <span class="block">{against(suspect)}</span>
      </div>
      <LogKeys at={at} unit={unit} />
    </li>
  );
}

/** Where to look, the likeliest first; below it those that are known not to answer. */
export function Suspects({ at, open, found }: Props) {
  const rest = open.length - SHOWN;
  const row = (suspect: Suspect) => <SuspectRow key={suspect.unit} at={at} suspect={suspect} />;
  return (
    <>
      {open.length > 0 && (
        <section>
          <h2 class="section-title">{t("count.suspects")}</h2>
          <ol>{open.slice(0, SHOWN).map(row)}</ol>
          {rest > 0 && <p class="quiet-text">{t("count.more_suspects", { count: rest })}</p>}
        </section>
      )}
      {found.length > 0 && (
        <section>
          <h2 class="section-title">{t("count.found")}</h2>
          <ul>{found.map(row)}</ul>
        </section>
      )}
    </>
  );
}
