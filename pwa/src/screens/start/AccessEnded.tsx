import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { Session } from "../../local/session";
import { t } from "../../text";
import { LiveSync } from "../parts/LiveSync";

/** What stays is what this person did and nobody has taken over: under "Needs your attention". */
export function AccessEnded({ who }: { who: Session }) {
  return (
    <Screen
      name={t("start.ended")}
      top={<TopBar title={who.name} under={who.company_name} you="shown" />}
    >
      <LiveSync ended="said" />
      <EmptyState title={t("start.ended")}>
        <p>{t("start.ended_hint")}</p>
      </EmptyState>
    </Screen>
  );
}
