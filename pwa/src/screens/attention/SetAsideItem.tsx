import { useState } from "preact/hooks";
import { mendKey } from "../../actions/drafts";
import { goingTogether } from "../../actions/hangs-on";
import { ButtonLink } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Thumb } from "../../components/Photo";
import { StateShape } from "../../components/StateShape";
import { formatDayTime } from "../../format";
import { type AttentionItem, useHasFullPhoto } from "../../queries/attention";
import { useJob } from "../../queries/job";
import { usePeople } from "../../queries/people";
import { usePhotoUrl } from "../../queries/photos";
import { usePreferences } from "../../queries/preferences";
import { t } from "../../text";
import { useDoing } from "../parts/useDoing";
import { useDraft } from "../parts/useDraft";
import { AskDrop } from "./AskDrop";
import { isPhotoOf } from "./attention-words";
import { type Card, canSend, cardOf, togetherWords } from "./card";
import { Decisions } from "./Decisions";
import type { KnownOfUnits } from "./facts";
import { zoneOf } from "./field-words";
import { MendFields } from "./MendFields";
import { proposedFields } from "./mendable";

type Props = {
  item: AttentionItem;
  /** All that wait: some go to the server together. */
  cards: readonly AttentionItem[];
  jobName: string | undefined;
};

function useKnown(jobId: string): KnownOfUnits {
  const system = usePreferences().value?.units ?? "si";
  return { view: useJob(jobId).value, people: usePeople().value, units: { system } };
}

/** One change that was refused or set aside: what, why, what was written, and what can be done. */
export function SetAsideItem({ item, cards, jobName }: Props) {
  const { value: mended, change } = useDraft<Record<string, unknown>>(mendKey(item.id), {
    empty: {},
  });
  const known = useKnown(item.job_id);
  const hasPicture = useHasFullPhoto(item.entity).value === true;
  const card = cardOf(item, known, { hasPicture });
  const isPhotoHere = isPhotoOf(item) && hasPicture;
  const fields = { ...item.fields, ...proposedFields(item, known), ...mended };
  return (
    <li class="attention-item stack">
      <Head item={item} card={card} jobName={jobName} zone={zoneOf(known)} />
      <Why card={card} />
      {(isPhotoHere || item.type === "photo.mark") && <Picture id={item.entity} />}
      <Said card={card} />
      <MendFields {...{ item, fields, known }} mendable={card.mendable} onChange={change} />
      {card.instead && <p>{card.instead}</p>}
      <WhatNext {...{ item, cards, card, fields, hasPicture }} />
      {card.place && (
        <ButtonLink kind="quiet" href={card.place}>
          {t("attention.open_row")}
        </ButtonLink>
      )}
    </li>
  );
}

type NextProps = Pick<Props, "item" | "cards"> & {
  card: Card;
  fields: Record<string, unknown>;
  hasPicture: boolean;
};

/** What goes along when it is sent again is said before it is pressed. */
function WhatNext({ item, cards, card, fields, hasPicture }: NextProps) {
  const doing = useDoing();
  const keeping = useDoing();
  const trouble = doing.trouble ?? keeping.trouble;
  const [isDropping, setDropping] = useState(false);
  const together = goingTogether(item, { cards });
  const isSendable = canSend(item, { hasPicture });
  const lost = isPhotoOf(item) && hasPicture ? "attention.drop_photo" : "attention.drop_words";
  return (
    <>
      {isSendable && <Along words={togetherWords(together)} />}
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <Decisions
        {...{ item, fields, hasPicture, doing, keeping }}
        isSendable={isSendable && !together.keptFirst}
        isMendable={card.mendable.length > 0}
        onDrop={() => setDropping(true)}
      />
      {isDropping && <AskDrop id={item.id} words={t(lost)} onClose={() => setDropping(false)} />}
    </>
  );
}

function Along({ words }: { words: string }) {
  return words === "" ? null : <p>{words}</p>;
}

function Why({ card }: { card: Card }) {
  return (
    <>
      <p>{card.why}</p>
      {[...card.problems, ...card.happened].map((words) => (
        <p key={words}>{words}</p>
      ))}
    </>
  );
}

function Said({ card }: { card: Card }) {
  if (card.facts.length === 0) return null;
  return (
    <dl class="facts attention-facts">
      {card.facts.map(({ name, words }) => (
        <div key={name} class="fact">
          <dt>{name}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}

function Picture({ id }: { id: string }) {
  const url = usePhotoUrl(id, "thumb").value;
  const marked = { width_px: 4, height_px: 3, marks: [] };
  return <Thumb url={url} alt={t("attention.what.photo_add")} marked={marked} />;
}

type HeadProps = Pick<Props, "item" | "jobName"> & { card: Card; zone: string };

function Head({ item, card, jobName, zone }: HeadProps) {
  const when = formatDayTime(item.device_time, { zone });
  return (
    <div class="attention-head">
      <StateShape state={item.outcome === "refused" ? "fail" : "unclear"} says="shape" />
      <div>
        <h2>{card.title}</h2>
        {card.about && <p>{card.about}</p>}
        <p class="quiet-text">
          {[jobName ?? item.job_name, t("attention.saved_at", { when })]
            .filter(Boolean)
            .join(" · ")}
        </p>
      </div>
    </div>
  );
}
