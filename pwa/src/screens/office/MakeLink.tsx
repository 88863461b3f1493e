import { useState } from "preact/hooks";
import { createLink, type NewLink } from "../../actions/links";
import { Button } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { TextField } from "../../components/TextField";
import type { JobRow } from "../../local/rows";
import { t } from "../../text";

type Props = { job: JobRow; onClose: () => void; onMade: (made: NewLink) => void };

const DAYS = ["7", "14", "30", "60"] as const;

/** One link for one person: withdrawing it later shuts out nobody else. */
export function MakeLink({ job, onClose, onMade }: Props) {
  const [firm, setFirm] = useState(job.contractor_firm);
  const [recipient, setRecipient] = useState("");
  const [days, setDays] = useState<(typeof DAYS)[number]>("14");
  const [isChecked, setChecked] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const [isBusy, setBusy] = useState(false);
  const missing = (text: string) =>
    isChecked && text.trim() === "" ? t("new_job.field.missing") : undefined;

  const make = async () => {
    setChecked(true);
    if (firm.trim() === "" || recipient.trim() === "") return;
    setBusy(true);
    const answer = await createLink({
      jobId: job.id,
      firm: firm.trim(),
      recipient: recipient.trim(),
      days: Number(days),
    });
    setBusy(false);
    if (answer.ok) return onMade(answer.value);
    setFailure(t(answer.code === "offline" ? "office.links_offline" : "office.link_failed"));
  };

  return (
    <Sheet
      title={t("office.link_new")}
      onClose={onClose}
      bottom={
        <Button
          kind="primary"
          onPress={() => void make()}
          notYet={isBusy ? t("office.link_creating") : undefined}
        >
          {t(isBusy ? "office.link_creating" : "office.link_create")}
        </Button>
      }
    >
      <TextField
        label={t("office.link_firm")}
        name="firm"
        value={firm}
        error={missing(firm)}
        onInput={setFirm}
      />
      <TextField
        label={t("office.link_recipient")}
        hint={t("office.link_recipient_hint")}
        name="recipient"
        value={recipient}
        error={missing(recipient)}
        onInput={setRecipient}
      />
      <Choice
        label={t("office.link_days")}
        options={DAYS.map((value) => ({
          value,
          label: t("office.link_days_count", { days: Number(value) }),
        }))}
        value={days}
        onPick={setDays}
      />
      {failure && (
        <Notice kind="bad" urgency="now">
          <p>{failure}</p>
        </Notice>
      )}
    </Sheet>
  );
}
