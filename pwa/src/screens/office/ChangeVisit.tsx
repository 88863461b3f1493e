import { useState } from "preact/hooks";
import { cancelVisit } from "../../actions/cancelVisit";
import { Button, ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Sheet } from "../../components/Sheet";
import { TextArea } from "../../components/TextField";
import { formatDayTime } from "../../format";
import type { JobRow, VisitRow } from "../../local/rows";
import { t } from "../../text";
import { useDoing } from "../parts/useDoing";

type Props = { visit: VisitRow; job: JobRow };

/** A visit that is booked can be moved, given to somebody else, or called off. */
export function ChangeVisit({ visit, job }: Props) {
  const [isAsking, setAsking] = useState(false);
  const when = formatDayTime(visit.starts_at, { zone: job.time_zone });
  return (
    <>
      <div class="actions">
        <ButtonLink
          kind="quiet"
          href={`/job/${job.id}/book/${visit.id}`}
          label={t("office.visit_change_of", { when })}
        >
          {t("office.visit_change")}
        </ButtonLink>
        <Button
          kind="quiet"
          label={t("office.visit_cancel_of", { when })}
          onPress={() => setAsking(true)}
        >
          {t("office.visit_cancel")}
        </Button>
      </div>
      {isAsking && <AskCancel visit={visit} job={job} onClose={() => setAsking(false)} />}
    </>
  );
}

function AskCancel({ visit, job, onClose }: Props & { onClose: () => void }) {
  const [note, setNote] = useState("");
  const { trouble, run } = useDoing();
  const cancel = async () => {
    const isDone = await run(() => cancelVisit({ jobId: job.id, visitId: visit.id, note }));
    if (isDone) onClose();
  };
  const zone = job.time_zone;
  const person = visit.person_name ?? t("board.nobody");
  return (
    <Sheet
      title={t("office.visit_cancel_title")}
      under={t("office.visit_cancel_which", {
        when: formatDayTime(visit.starts_at, { zone }),
        person,
      })}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button onPress={onClose}>{t("office.visit_cancel_not")}</Button>
          <Button kind="danger" onPress={() => void cancel()}>
            {t("office.visit_cancel")}
          </Button>
        </div>
      }
    >
      <p>{t("office.visit_cancel_words", { person })}</p>
      <TextArea
        label={t("new_job.optional", { label: t("office.visit_cancel_note") })}
        name="note"
        value={note}
        onInput={setNote}
      />
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
    </Sheet>
  );
}
