import { t } from "../../text";
import type { JobChance } from "../../trade/types";
import { isHopeful } from "./sure-words";

/** What a chance rests on, in one line: where there is no room for all of it. */
export function SureSource({ chance }: { chance: JobChance | null | undefined }) {
  if (chance?.state !== "wait_contractor") return null;
  return (
    <p class="quiet-text">
      {t("sure.source")} {isHopeful(chance) && t("sure.if_begun")}
    </p>
  );
}
