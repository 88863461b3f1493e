import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { TopBar } from "../../components/TopBar";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { JobGate } from "../parts/JobGate";
import { LiveBegun } from "../parts/LiveBegun";
import { LiveSync } from "../parts/LiveSync";
import { intoDraft, PhotoButtons } from "../parts/NewPhotos";
import { placeOf, wordsFor } from "../parts/unit-words";
import { IssueForm } from "./IssueForm";
import { PickUnit } from "./PickUnit";
import { Saved } from "./Saved";
import { type LogForm, useLog } from "./useLog";

export default function Log({ id }: { id: string }) {
  const { query } = useRoute();
  const unitId = query.unit ?? null;
  const [round, setRound] = useState(0);
  const back = unitId ? `/job/${id}/unit/${unitId}` : `/job/${id}`;
  return (
    <JobGate id={id} back={back}>
      {(view) => (
        <LogOne
          key={`${unitId}-${round}`}
          view={view}
          unitId={unitId}
          back={back}
          onAnother={() => setRound(round + 1)}
        />
      )}
    </JobGate>
  );
}

type TopProps = { unit: LogForm["unit"]; back: string; onOther: (() => void) | undefined };

/** A unit that was picked here can be picked anew; one that the address names stays. */
function Top({ unit, back, onOther }: TopProps) {
  return (
    <TopBar
      title={unit ? t("log.title_at", { tag: unit.tag }) : t("log.title")}
      under={unit ? `${wordsFor("kind", unit.kind)} · ${placeOf(unit)}` : t("log.which_unit")}
      back={back}
      end={
        unit &&
        onOther && (
          <Button kind="quiet" onPress={onOther}>
            {t("log.other_unit")}
          </Button>
        )
      }
    />
  );
}

function Bottom({ form, path }: { form: LogForm; path: string }) {
  const [isWorking, setWorking] = useState(false);
  return (
    <>
      <PhotoButtons
        path={path}
        draftKey={form.draftKey}
        {...intoDraft(form.draft.change)}
        room={form.draft.room}
        onWorking={setWorking}
      />
      <Button
        kind="primary"
        notYet={isWorking ? t("photo.working") : form.missing}
        onPress={() => void form.save()}
      >
        {t("log.save")}
      </Button>
    </>
  );
}

type Props = { view: JobView; unitId: string | null; back: string; onAnother: () => void };

/** On a known unit two presses after the photo: what it is, and save. */
function LogOne({ view, unitId, back, onAnother }: Props) {
  const form = useLog(view, { unitId });
  const { draft, unit, savedId } = form;
  if (savedId) {
    return (
      <Saved
        view={view}
        issueId={savedId}
        unitId={draft.value.unitId}
        trouble={form.trouble}
        onAnother={onAnother}
      />
    );
  }
  const path = `/job/${view.job.id}/log${unitId ? `?unit=${unitId}` : ""}`;
  return (
    <Screen
      name={t("log.title")}
      top={
        <Top
          unit={unit}
          back={back}
          onOther={unitId ? undefined : () => draft.change({ unitId: null })}
        />
      }
      bottom={unit && <Bottom form={form} path={path} />}
    >
      {form.trouble && (
        <Notice kind="bad" urgency="now">
          {form.trouble}
        </Notice>
      )}
      <LiveSync />
      {!draft.ready && <Skeleton lines={3} />}
      {draft.ready && !unit && (
        <>
          <LiveBegun jobId={view.job.id} but={form.draftKey} />
          <PickUnit view={view} onPick={(picked) => draft.change({ unitId: picked.id })} />
        </>
      )}
      {draft.ready && unit && <IssueForm form={form} />}
    </Screen>
  );
}
