import { Button } from "../../../../components/Button";
import { Keypad } from "../../../../components/Keypad";
import { Notice } from "../../../../components/Notice";
import { Screen } from "../../../../components/Screen";
import { TopBar } from "../../../../components/TopBar";
import { formatSpan } from "../../../../format/time";
import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import { LiveSync } from "../../../parts/LiveSync";
import { QuantityField, UnusualReason } from "../../../parts/reading/fields";
import { fieldsAt, isOtherSign, isRead, isSupply, modeOf, type Place } from "./draft";
import { PlaceStrip, placeWords } from "./PlaceStrip";
import { RoundClock } from "./RoundClock";
import { inTurn, leftS, numberOf, placesOf, withClock } from "./rounds";
import { Switching } from "./Switching";
import { TakeBack } from "./TakeBack";
import type { Check } from "./usePortCheck";
import { useSecond } from "./useSecond";

type Props = { check: Check; place: "start" | number };

/** Where the one big key leads from here: the clock first, then the next place. */
function NextKey({ check, place }: Props) {
  const { form } = check;
  const { own } = form.draft;
  const now_ms = useSecond();
  const round = place === "start" ? undefined : own.rounds[place];
  if (place !== "start" && round && !round.started_at) {
    const start = () =>
      form.change((now) => ({
        own: {
          ...now.own,
          ...withClock(now.own, { round: place, now: new Date().toISOString() }),
        },
      }));
    return (
      <Button kind="primary" onPress={start}>
        {t("port_check.clock_start")}
      </Button>
    );
  }
  const places = placesOf(form.draft);
  const next = places[places.indexOf(place) + 1] ?? "result";
  const round_s = form.values["round_s"] ?? 0;
  const left_s = round ? leftS(round, { now_ms, round_s }) : null;
  return (
    <Button kind="primary" onPress={() => form.changeOwn({ place: next })}>
      {next === "result"
        ? t("port_check.to_result")
        : t("port_check.to_round", { number: numberOf(own, next as number) })}
      {left_s ? (
        <span class="button-not-yet">{t("port_check.left", { span: formatSpan(left_s) })}</span>
      ) : null}
    </Button>
  );
}

/** A slip of the sign is asked about right where it was typed, not after the last round. */
function ReadAt({ check: { form }, place, unit }: Props & { unit: UnitRow }) {
  const { draft, values } = form;
  const [field] = fieldsAt(place, { draft, units: [unit] });
  if (!field) return null;
  const isTurned = place !== "start" && isOtherSign(place, { draft, unit, values });
  return (
    <>
      <QuantityField form={form} field={{ ...field, need: "needed" }} />
      {isTurned && (
        <Notice kind="doubt" urgency="now">
          {t("port_check.other_sign", { tag: unit.tag, mode: modeOf(draft) })}
        </Notice>
      )}
    </>
  );
}

/** One number at each unit, in the order one walks; what cannot be reached stays empty. */
function Reads({ check, place }: Props) {
  const { form, units } = check;
  const { draft } = form;
  const done = units.filter((unit) => isRead(place, { draft, unit })).length;
  return (
    <section class="stack">
      <h2 class="section-title">
        {place === "start" ? t("port_check.read_supply") : t("port_check.read")}
      </h2>
      {place !== "start" && (
        <p>
          {isSupply(draft)
            ? t("port_check.read_supply")
            : t("port_check.read_difference", { mode: modeOf(draft) })}
        </p>
      )}
      <p class="quiet-text">{t("port_check.read_now", { done, total: units.length })}</p>
      <div>
        {inTurn(draft.own, { place, units }).map((unit) => (
          <ReadAt key={unit.id} check={check} place={place} unit={unit} />
        ))}
      </div>
    </section>
  );
}

/** One round: switch, wait, read. Everything in it is a draft the moment it is pressed or typed. */
export function RoundScreen({ check, place }: Props) {
  const { at, form } = check;
  const title = titleOf({ check, place });
  return (
    <Screen
      name={title}
      ground="keypad"
      top={
        <TopBar
          title={title}
          under={t("port_check.under", { tag: at.system?.tag ?? "" })}
          back={at.back}
        />
      }
      bottom={<Keypad save={<NextKey check={check} place={place} />} numbers="signed" />}
    >
      <LiveSync says="waits" />
      <PlaceStrip check={check} />
      {place === "start" ? (
        <p>{t("port_check.start_words")}</p>
      ) : (
        <>
          <TakeBack check={check} round={place} />
          <Switching check={check} round={place} />
          <RoundClock check={check} round={place} />
        </>
      )}
      <Reads check={check} place={place} />
      <UnusualReason form={form} />
    </Screen>
  );
}

function titleOf({ check, place }: { check: Check; place: Place }): string {
  const { own } = check.form.draft;
  if (typeof place !== "number") return placeWords(place, own);
  return t("port_check.round_of", {
    number: numberOf(own, place),
    total: numberOf(own, own.rounds.length - 1),
  });
}
