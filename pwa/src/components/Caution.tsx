import { t } from "../text";
import { Icon } from "./Icon";

type Props = { children: string | string[]; place?: "within" | "alone" };

/** What can hurt in the task at hand, under one sign. It never says that something is safe. */
export function Caution({ children, place = "within" }: Props) {
  return (
    <div class={place === "alone" ? "caution-alone caution" : "caution"}>
      <Icon name="caution" />
      <div>
        {[children].flat().map((words, at) => (
          <p key={words}>
            {at === 0 && <b class="spoken">{t("common.caution")} </b>}
            {words}
          </p>
        ))}
      </div>
    </div>
  );
}
