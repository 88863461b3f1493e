import { useLocation } from "preact-iso/router";
import { readDraft, saveDraft } from "../../../../actions/drafts";
import { Button } from "../../../../components/Button";
import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { placeOf, wordsFor } from "../../../parts/unit-words";
import type { Suspect } from "./count";

/** As many as somebody keeps in mind on the way. */
const SHOWN = 3;

type Props = { at: FormProps; suspects: Suspect[] };

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

/** Where to look, the likeliest first. */
export function Suspects({ at, suspects }: Props) {
  const log = useLogging(at);
  const rest = suspects.length - SHOWN;
  return (
    <section>
      <h2 class="section-title">{t("count.suspects")}</h2>
      <ol>
        {suspects.slice(0, SHOWN).map((suspect) => {
          const unit = at.view.units.find((one) => one.tag === suspect.unit);
          if (!unit) return null;
          const where = suspect.port
            ? t("count.suspect_on", { where: placeOf(unit), port: suspect.port })
            : placeOf(unit);
          return (
            <li key={unit.id} class="suspect">
              <div>
                <span class="unit-row-tag">{unit.tag}</span>
                <span class="quiet-text block">{where}</span>
                <span class="block">{against(suspect)}</span>
              </div>
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
            </li>
          );
        })}
      </ol>
      {rest > 0 && <p class="quiet-text">{t("count.more_suspects", { count: rest })}</p>}
    </section>
  );
}
