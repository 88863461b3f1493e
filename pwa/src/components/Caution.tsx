import { t } from "../text";
import { Icon } from "./Icon";

type Props = { children: string; place?: "within" | "alone" };

/** The caution that goes with the task at hand. It never says that something is safe. */
export function Caution({ children, place = "within" }: Props) {
  return (
    <div class={place === "alone" ? "caution-alone caution" : "caution"}>
      <Icon name="caution" />
      <p>
        <b class="spoken">{t("common.caution")} </b>
        {children}
      </p>
    </div>
  );
}
