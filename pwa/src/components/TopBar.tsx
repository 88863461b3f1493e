import type { ComponentChildren } from "preact";
import { t } from "../text";
import { IconLink } from "./Button";

type Props = {
  title: string;
  /** One quiet line under the title. */
  under?: ComponentChildren;
  /** Where back leads: always a place, so that it works after a restart too. */
  back?: string;
  /** The nut leads to the person's own page: modes, storage, signing out. */
  you?: "shown" | "hidden";
  end?: ComponentChildren;
};

export function TopBar({ title, under, back, you = "hidden", end }: Props) {
  return (
    <div class="top-bar">
      {back && <IconLink icon="back" label={t("common.back")} href={back} />}
      <div class="top-bar-title">
        <h1>{title}</h1>
        {under && <p>{under}</p>}
      </div>
      {end}
      {you === "shown" && <IconLink icon="nut" label={t("common.you")} href="/you" />}
    </div>
  );
}
