import { useState } from "preact/hooks";
import { addPhoto } from "../../actions/addPhoto";
import { ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { UnitRow } from "../../local/rows";
import type { PreparedPhoto } from "../../photo/prepare";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import { UnitChecks } from "../check/CheckLinks";
import { failureWords } from "../parts/failure";
import { IssueLink } from "../parts/IssueLink";
import { JobGate, NotHere } from "../parts/JobGate";
import { LiveSync } from "../parts/LiveSync";
import { PhotoButtons } from "../parts/NewPhotos";
import { StoredPhoto } from "../parts/StoredPhoto";
import { placeOf, wordsFor } from "../parts/unit-words";
import { Facts } from "./Facts";
import { Readings } from "./Readings";
import { UnitSteps } from "./UnitSteps";

export default function Unit({ id, unit }: { id: string; unit: string }) {
  const back = `/job/${id}/round`;
  return (
    <JobGate id={id} back={back}>
      {(view) => {
        const shown = view.unitById.get(unit);
        return shown ? <OneUnit view={view} unit={shown} /> : <NotHere back={back} />;
      }}
    </JobGate>
  );
}

type Props = { view: JobView; unit: UnitRow };

function Photos({ view, unit }: Props) {
  const photos = view.photosByUnit.get(unit.id) ?? [];
  const [trouble, setTrouble] = useState<string>();
  const add = async (photo: PreparedPhoto) => {
    const result = await addPhoto({ jobId: view.job.id, unitId: unit.id, photo });
    setTrouble(result.ok ? undefined : failureWords(result));
  };
  return (
    <section class="stack">
      <h2 class="section-title">{t("unit.photos")}</h2>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      {photos.length > 0 && (
        <div class="photo-strip">
          {photos.map((photo, index) => (
            <StoredPhoto
              key={photo.id}
              photo={photo}
              alt={t("photo.of_unit", { number: index + 1, tag: unit.tag })}
            />
          ))}
        </div>
      )}
      <PhotoButtons
        path={`/job/${view.job.id}/unit/${unit.id}`}
        draftKey={`unit:${unit.id}`}
        onPhoto={(photo) => void add(photo)}
      />
    </section>
  );
}

function OneUnit({ view, unit }: Props) {
  const issues = view.issuesByUnit.get(unit.id) ?? [];
  return (
    <Screen
      name={unit.tag}
      top={
        <TopBar
          title={unit.tag}
          under={`${wordsFor("kind", unit.kind)} · ${placeOf(unit)}`}
          back={`/job/${view.job.id}/round`}
        />
      }
      bottom={
        <ButtonLink kind="primary" icon="camera" href={`/job/${view.job.id}/log?unit=${unit.id}`}>
          {t("unit.log_here")}
        </ButtonLink>
      }
    >
      <LiveSync />
      <UnitSteps view={view} unit={unit} />
      <UnitChecks view={view} unit={unit} />
      {issues.length > 0 && (
        <section>
          <h2 class="section-title">{t("unit.issues", { count: issues.length })}</h2>
          {issues.map((issue) => (
            <IssueLink key={issue.id} view={view} issue={issue} plan={undefined} />
          ))}
        </section>
      )}
      <Readings view={view} unit={unit} />
      <Facts view={view} unit={unit} />
      <Photos view={view} unit={unit} />
    </Screen>
  );
}
