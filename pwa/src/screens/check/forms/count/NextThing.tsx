import { t } from "../../../../text";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { codeWords } from "../../../parts/reading/reason-words";
import { placeOf } from "../../../parts/unit-words";
import { type CountResult, nextSuspect, type Walk } from "./count";

type Props = { at: FormProps; walk: Walk; result: CountResult };

/** Stays on the screen while one walks down the list. */
export function NextThing({ at, walk, result }: Props) {
  const [first] = codeWords(result.next);
  const suspect = nextSuspect(result, walk);
  const unit = at.view.units.find((one) => one.tag === suspect?.unit);
  if (!first) return null;
  return (
    <div class="next-thing" role="status">
      <b class="block">{first}</b>
      {unit && (
        <span class="block">{t("count.next_is", { tag: unit.tag, where: placeOf(unit) })}</span>
      )}
    </div>
  );
}
