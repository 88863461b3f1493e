import { formatDay } from "../../format";
import type { SurePlan } from "../../queries/chance";
import { t } from "../../text";
import type { JobChance } from "../../trade/types";
import { isHopeful } from "../parts/sure-words";

type Props = { plan: SurePlan; chance: JobChance | null | undefined; zone: string };

/** "8 in 10 chances by Tue 8 Dec"; a site that waits for nothing needs none. */
export function SureWords({ plan, chance, zone }: Props) {
  if (plan.state !== "wait_contractor") return null;
  return <p class="board-sure">{sureWords(plan, { chance, zone })}</p>;
}

function sureWords(plan: SurePlan, { chance, zone }: Omit<Props, "plan">): string {
  if (chance === undefined) return t("sure.coming");
  if (chance === null || plan.ready_at_p80 === null) return t("sure.failed");
  const day = formatDay(plan.ready_at_p80, { zone });
  return t(isHopeful(chance) ? "board.sure_if_begun" : "board.sure", { day });
}
