import { setIssue } from "../../actions/setIssue";
import { Chips, Choice, Tick } from "../../components/Choice";
import { TextArea, TextField } from "../../components/TextField";
import type { IssueRow, Side, WhoMustAct } from "../../local/rows";
import { t } from "../../text";
import { troubleWords } from "../parts/failure";
import { wordsFor } from "../parts/unit-words";
import { useDraft } from "../parts/useDraft";
import { ActSheet } from "./ActSheet";
import type { OfIssue } from "./index";
import { useSaving } from "./useSaving";

const SIDES: Side[] = ["refrigerant", "controls", "supply", "test_run"];
const WHO: WhoMustAct[] = ["contractor", "technician", "dispatcher", "electrician", "customer"];

type Changeable = Pick<
  IssueRow,
  "words" | "action" | "evidence" | "stops" | "opens_circuit" | "who_must_act" | "due_on"
>;

function changeableOf(issue: IssueRow): Changeable {
  const { words, action, evidence, stops, opens_circuit, who_must_act, due_on } = issue;
  return { words, action, evidence, stops, opens_circuit, who_must_act, due_on };
}

/** Only what differs is sent, so that two people changing two things both keep theirs. */
export function changesOf(issue: IssueRow, { value }: { value: Changeable }): Partial<Changeable> {
  const before = changeableOf(issue);
  return Object.fromEntries(
    Object.entries(value).filter(
      ([name, now]) => JSON.stringify(now) !== JSON.stringify(before[name as keyof Changeable]),
    ),
  );
}

export function ChangeSheet({ view, issue, onClose }: OfIssue & { onClose: () => void }) {
  const draftKey = `change:${issue.id}`;
  // Only what was touched is a draft: what others change meanwhile shows, and is not set back.
  const { value: touched, change, room } = useDraft<Partial<Changeable>>(draftKey, { empty: {} });
  const value = { ...changeableOf(issue), ...touched };
  const { save, failure, busy } = useSaving({ onClose });
  const changes = changesOf(issue, { value });
  const go = () => setIssue({ jobId: view.job.id, issueId: issue.id, changes, draftKey });
  return (
    <ActSheet
      title={t("change.title")}
      save={t("common.save")}
      notYet={Object.keys(changes).length === 0 ? t("change.nothing") : undefined}
      busy={busy}
      trouble={troubleWords(failure, { room })}
      onSave={() => void save(go)}
      onClose={onClose}
    >
      <Choice
        label={t("log.who_must_act")}
        value={value.who_must_act}
        onPick={(who_must_act) => change({ who_must_act })}
        options={WHO.map((one) => ({ value: one, label: wordsFor("who", one) }))}
      />
      <Chips
        label={t("log.what_it_stops")}
        values={value.stops}
        onChange={(stops) => change({ stops })}
        options={SIDES.map((one) => ({ value: one, label: wordsFor("side", one) }))}
      />
      <Tick
        label={t("log.opens_circuit")}
        checked={value.opens_circuit}
        onChange={(opens_circuit) => change({ opens_circuit })}
      />
      <TextField
        type="date"
        label={t("change.due")}
        value={value.due_on ?? ""}
        onInput={(due) => change({ due_on: due === "" ? null : due })}
      />
      <TextArea label={t("log.words")} value={value.words} onInput={(words) => change({ words })} />
      <TextArea
        label={t("log.action")}
        value={value.action}
        onInput={(action) => change({ action })}
      />
      <TextArea
        label={t("log.evidence")}
        value={value.evidence}
        onInput={(evidence) => change({ evidence })}
      />
    </ActSheet>
  );
}
