import { StateShape } from "../../components/StateShape";
import type { Hold } from "../../queries/holds";
import { runningHolds } from "../../queries/holds";
import type { JobView } from "../../queries/job";
import { useNow } from "../../queries/now";
import { t } from "../../text";
import { formOf } from "../check/forms";
import { checkPath } from "../check/places";
import { holdWords } from "../parts/hold-words";
import { wordsFor } from "../parts/unit-words";

function Running({ view, hold }: { view: JobView; hold: Hold }) {
  const now_s = useNow().value;
  const row = formOf(hold.calculation);
  const system = view.systemById.get(hold.systemId ?? "");
  if (!row) return null;
  const tag = system && t("job.system_tag", { tag: system.tag });
  return (
    <li>
      <a class="unit-row" href={checkPath(row, { view, system, from: "checks" })}>
        <StateShape state="unclear" says="shape" />
        <span class="unit-row-words">
          <span class="unit-row-tag">
            {[wordsFor("calculation", hold.calculation), tag].filter(Boolean).join(", ")}
          </span>
          <span class="block">{holdWords(hold, { now_s })}</span>
        </span>
      </a>
    </li>
  );
}

/** Every hold of the job that runs by the clock, on whichever system, the oldest first. */
export function RunningHolds({ view }: { view: JobView }) {
  const holds = runningHolds(view);
  if (holds.length === 0) return null;
  return (
    <section>
      <h2 class="section-title">{t("hold.running_now")}</h2>
      <ul>
        {holds.map((hold) => (
          <Running key={hold.tip.id} view={view} hold={hold} />
        ))}
      </ul>
    </section>
  );
}
