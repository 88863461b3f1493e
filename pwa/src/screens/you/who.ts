import type { Session } from "../../local/session";
import { t } from "../../text";

/** "Technician at Example Start-up" or "Example Mechanical, working for Example Start-up". */
export function whoWords(who: Session | null): string | undefined {
  if (!who) return undefined;
  if (who.as === "link") {
    return t("you.for_firm", { firm: who.firm ?? who.name, company: who.company_name });
  }
  return t("you.at_company", { role: t(`you.role.${who.role}`), company: who.company_name });
}
