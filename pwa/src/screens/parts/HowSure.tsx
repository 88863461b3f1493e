import "../../text/checks";
import { t } from "../../text";
import type { JobChance } from "../../trade/types";
import { ReasonList } from "./reading/ResultCard";
import { groundsOf } from "./sure-words";

/** What a chance rests on, how well it is known, and what it does not know of. */
export function HowSure({ chance }: { chance: JobChance }) {
  return (
    <details class="details">
      <summary>{t("sure.how")}</summary>
      <div class="stack">
        <ReasonList
          calculation="job_chance"
          result={{ reasons: groundsOf(chance) }}
          units={{ system: "si" }}
        />
        <p>{t("sure.precision")}</p>
        <p>{t("sure.not_known")}</p>
      </div>
    </details>
  );
}
