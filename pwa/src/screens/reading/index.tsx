import "../../text/checks";
import "./reading.css";
import { useRoute } from "preact-iso/router";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { ReadingRow } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { usePreferences } from "../../queries/preferences";
import { t } from "../../text";
import { JobGate, NotHere } from "../parts/JobGate";
import { LiveSync } from "../parts/LiveSync";
import { ResultCard } from "../parts/reading/ResultCard";
import { tagsOf } from "../parts/reading/tags";
import type { Result } from "../parts/reading/useLive";
import { readingWhen, readingWhere } from "../parts/reading-words";
import { StoredPhoto } from "../parts/StoredPhoto";
import type { ReadingFrom } from "../parts/stored-readings";
import { wordsFor } from "../parts/unit-words";
import { ReplacedBy, Replaces } from "./Chain";
import { Differences } from "./Differences";
import { InAndOut, Typed } from "./Numbers";
import { Taken } from "./Taken";

const FROM: readonly ReadingFrom[] = ["unit", "job", "office", "readings"];

/** Opened without a word of where from (a link that somebody kept), it goes to the list. */
function fromOf(asked: string | undefined): ReadingFrom {
  return FROM.find((one) => one === asked) ?? "readings";
}

function backOf(reading: ReadingRow, { from }: { from: ReadingFrom }): string {
  const job = `/job/${reading.job_id}`;
  if (from === "unit" && reading.unit_id) return `${job}/unit/${reading.unit_id}`;
  return from === "job" ? job : `${job}/${from === "office" ? "office" : "readings"}`;
}

export default function Reading({ id, reading }: { id: string; reading: string }) {
  const from = fromOf(useRoute().query["from"]);
  return (
    <JobGate id={id} back={`/job/${id}/readings`}>
      {(view) => {
        const shown = view.readings.find((one) => one.id === reading);
        if (!shown) return <NotHere back={`/job/${id}/readings`} />;
        return <Stored view={view} reading={shown} from={from} />;
      }}
    </JobGate>
  );
}

type Props = { view: JobView; reading: ReadingRow; from: ReadingFrom };

/** A stored reading as it was kept, everything in it: read from this phone alone. */
function Stored({ view, reading, from }: Props) {
  const { calculation } = reading;
  const system = usePreferences().value?.units ?? "si";
  const nameOf = tagsOf({ view });
  const title = wordsFor("calculation", calculation);
  const under = [readingWhere(reading, { view }), readingWhen(reading, { view })];
  return (
    <Screen
      name={title}
      top={
        <TopBar
          title={title}
          under={under.filter(Boolean).join(" · ")}
          back={backOf(reading, { from })}
        />
      }
    >
      <LiveSync />
      <ReplacedBy view={view} reading={reading} from={from} />
      <Differences reading={reading} units={{ system }} nameOf={nameOf} />
      <ResultCard
        calculation={calculation}
        result={reading.outputs as Result}
        units={{ system }}
        nameOf={nameOf}
      />
      <Typed reading={reading} zone={view.job.time_zone} nameOf={nameOf} />
      <Photos view={view} reading={reading} />
      <Taken view={view} reading={reading} />
      <InAndOut reading={reading} nameOf={nameOf} />
      <Replaces view={view} reading={reading} from={from} />
    </Screen>
  );
}

function Photos({ view, reading }: Omit<Props, "from">) {
  const photos = view.photosByReading.get(reading.id) ?? [];
  if (photos.length === 0) return null;
  return (
    <div class="photo-strip">
      {photos.map((photo, index) => (
        <StoredPhoto key={photo.id} photo={photo} alt={t("record.photo", { number: index + 1 })} />
      ))}
    </div>
  );
}
