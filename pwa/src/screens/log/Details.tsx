import { Chips, Choice, Tick } from "../../components/Choice";
import { TextArea, TextField } from "../../components/TextField";
import type { Side, WhoMustAct } from "../../local/rows";
import { t } from "../../text";
import type { IssueCategory } from "../../trade/types";
import { listWords } from "../parts/issue-words";
import { wordsFor } from "../parts/unit-words";
import { type IssueDraft, settle } from "./draft";

const SIDES: Side[] = ["refrigerant", "controls", "supply", "test_run"];
const WHO: WhoMustAct[] = ["contractor", "technician", "dispatcher", "electrician", "customer"];

type Props = {
  draft: IssueDraft;
  category: IssueCategory | undefined;
  onChange: (part: Partial<IssueDraft>) => void;
};

/** "Stops the refrigerant side. Contractor acts." */
export function settledWords({ draft, category }: Omit<Props, "onChange">): string {
  const set = settle(draft, { category });
  const stops =
    set.stops.length > 0
      ? t("log.stops", { sides: listWords(set.stops.map((side) => wordsFor("side_the", side))) })
      : t("log.stops_nothing");
  const opens = set.opensCircuit ? ` ${t("log.opens")}` : "";
  return `${stops}${opens} ${t("log.who_acts", { who: wordsFor("who", set.whoMustAct) })}`;
}

/** What the category sets, in one line; opened, everything can be changed. */
export function Details({ draft, category, onChange }: Props) {
  const set = settle(draft, { category });
  return (
    <details class="details">
      <summary>
        <span>{settledWords({ draft, category })}</span>
        <b>{t("log.change")}</b>
      </summary>
      <div class="stack">
        <Chips
          label={t("log.what_it_stops")}
          values={set.stops}
          onChange={(stops) => onChange({ stops })}
          options={SIDES.map((value) => ({ value, label: wordsFor("side", value) }))}
        />
        <Tick
          label={t("log.opens_circuit")}
          checked={set.opensCircuit}
          onChange={(checked) => onChange({ opensCircuit: checked ? "yes" : "no" })}
        />
        <Choice
          label={t("log.who_must_act")}
          value={set.whoMustAct}
          onPick={(whoMustAct) => onChange({ whoMustAct })}
          options={WHO.map((value) => ({ value, label: wordsFor("who", value) }))}
        />
        <TextField
          type="date"
          label={t("change.due")}
          value={draft.dueOn ?? ""}
          onInput={(due) => onChange({ dueOn: due === "" ? null : due })}
        />
        <TextArea
          label={t("log.action")}
          value={set.action}
          onInput={(action) => onChange({ action })}
        />
        <TextArea
          label={t("log.evidence")}
          value={set.evidence}
          onInput={(evidence) => onChange({ evidence })}
        />
      </div>
    </details>
  );
}
