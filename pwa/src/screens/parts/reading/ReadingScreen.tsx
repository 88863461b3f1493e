import "../../../text/checks";
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { Button, ButtonLink } from "../../../components/Button";
import { Caution } from "../../../components/Caution";
import { Keypad } from "../../../components/Keypad";
import { Notice } from "../../../components/Notice";
import { Screen } from "../../../components/Screen";
import { Skeleton } from "../../../components/Skeleton";
import { TopBar } from "../../../components/TopBar";
import { t } from "../../../text";
import { LiveSync } from "../LiveSync";
import { placeOf, wordsFor } from "../unit-words";
import { UnusualReason } from "./fields";
import { InstrumentLine } from "./InstrumentLine";
import { LastReading } from "./LastReading";
import { ResultCard, verdictWords } from "./ResultCard";
import { codeWords } from "./reason-words";
import { tagsOf } from "./tags";
import type { Result } from "./useLive";
import type { Reading, Where } from "./useReading";

/** What each form is given: where it stands, and where it leads. */
export type FormProps = Where & {
  back: string;
  /** Codes of the cautions that stand there before there is a result. */
  cautions: string[];
  /** The unit of the same kind that is not measured yet. */
  next: { tag: string; href: string } | null;
  /** The reading that was just saved on the unit before this one. */
  saved: string | null;
  /** An empty form once more. */
  onAgain: () => void;
};

// biome-ignore lint/suspicious/noExplicitAny: what a form has of its own does not matter here.
type AnyReading = Reading<any, any>;

type Props = {
  at: FormProps;
  form: AnyReading;
  /** The fields. */
  children: ComponentChildren;
  /** Instead of the name of the check and of what it is made on. */
  title?: string;
  under?: string;
  /** Instead of the plain result card. */
  result?: (result: Result) => ComponentChildren;
  /** Between fields and result: the result stands right under what was typed. */
  after?: ComponentChildren;
  /** Once it is saved: what beginning again means here. */
  again?: string | undefined;
};

export function titleOf({ calculation, where }: Pick<AnyReading, "calculation" | "where">): string {
  const name = wordsFor("calculation", calculation);
  const tag = where.unit?.tag ?? (where.system && t("job.system_tag", { tag: where.system.tag }));
  return tag ? `${name}, ${tag}` : name;
}

function underOf({ unit, system }: Where): string | undefined {
  if (unit) return placeOf(unit);
  return system?.refrigerant || undefined;
}

/** What just went onto this phone; the result stays to be read out or shown. */
function JustSaved({ at, form, result }: Pick<Props, "at" | "form"> & { result: Result }) {
  return (
    <>
      <Notice kind={result.verdict === "pass" || !result.verdict ? "good" : "plain"} urgency="now">
        <b>{t("sync.saved")}</b>{" "}
        {result.verdict &&
          t("check.saved_words", {
            check: titleOf(form),
            word: verdictWords(form.calculation, result),
          })}
      </Notice>
      <ResultCard
        calculation={form.calculation}
        result={result}
        units={form.units}
        nameOf={tagsOf(at)}
      />
    </>
  );
}

function WaysOn({ at, again }: Pick<Props, "at" | "again">) {
  return (
    <>
      <ButtonLink kind="primary" href={at.next?.href ?? at.back}>
        {at.next ? t("check.next_unit", { tag: at.next.tag }) : t("check.done")}
      </ButtonLink>
      <div class="actions">
        <Button kind="quiet" icon="repeat" onPress={at.onAgain}>
          {again ?? t("check.another")}
        </Button>
        {at.next && <ButtonLink href={at.back}>{t("check.done")}</ButtonLink>}
      </div>
    </>
  );
}

/** The result as one types; before it the cautions that go with the task. */
function LiveResult({ at, form, result }: Props) {
  const { live } = form;
  if (live.kind === "result") {
    return (
      <>
        {result?.(live.result) ?? (
          <ResultCard
            calculation={form.calculation}
            result={live.result}
            units={form.units}
            nameOf={tagsOf(at)}
          />
        )}
      </>
    );
  }
  return (
    <>
      {form.problem && (
        <Notice kind="doubt" urgency="now">
          {form.problem}
        </Notice>
      )}
      {at.cautions.length > 0 && <Caution place="alone">{codeWords(at.cautions)}</Caution>}
    </>
  );
}

/** Temperatures and tilts can be below nought. */
const SIGNED = ["temperature", "temperature_difference", "altitude", "angle"];

function Extras({ form }: Pick<Props, "form">) {
  return (
    <div class="stack">
      {form.repeat && (
        <Button kind="quiet" icon="repeat" onPress={form.repeat}>
          {t("check.same")}
        </Button>
      )}
      <InstrumentLine
        zone={form.where.view.job.time_zone}
        inUse={form.instruments}
        onChoose={(instruments) => form.change({ instruments })}
      />
      {form.last && <LastReading view={form.where.view} reading={form.last} />}
    </div>
  );
}

type Whole = { form: AnyReading; children: ComponentChildren };

/** Nothing can be typed before the phone knows which units its person reads, and what was typed before. */
export function OnceReady({ form, children }: Whole) {
  return form.ready ? children : <Skeleton lines={3} />;
}

/** The first press on a form is a digit, not a field. */
export function useFirstField({ ready, isUntouched }: AnyReading) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!ready || !isUntouched) return;
    box.current?.querySelector<HTMLInputElement>("[data-number-field]")?.focus();
  }, [ready]);
  return box;
}

/** Unit after unit is one step for the back button: it leads to where the first one was opened. */
function useNextUnit({ at, form }: Pick<Props, "at" | "form">) {
  const { route } = useLocation();
  const saved = form.saved?.id;
  useEffect(() => {
    if (!saved || !at.next) return;
    const { href } = at.next;
    route(`${href}${href.includes("?") ? "&" : "?"}saved=${saved}`, true);
  }, [saved]);
}

/** What was saved on the unit before this one: it lies on this phone by now. */
function SavedBefore({ view, saved }: FormProps) {
  const reading = view.readings.find((one) => one.id === saved);
  if (!reading) return null;
  const unit = view.unitById.get(reading.unit_id ?? "");
  const word = verdictWords(reading.calculation, reading.outputs as Result);
  return (
    <Notice kind={reading.verdict === "fail" ? "plain" : "good"}>
      <b>{t("sync.saved")}</b> {t("check.saved_words", { check: unit?.tag ?? "", word })}
    </Notice>
  );
}

/** A check while it is made: fields, result, instrument, and saving under the thumb. */
export function ReadingScreen(props: Props) {
  const { at, form, children, after } = props;
  const box = useFirstField(form);
  useNextUnit(props);
  const title = props.title ?? titleOf(form);
  const top = <TopBar title={title} under={props.under ?? underOf(at)} back={at.back} />;
  if (form.saved) {
    return (
      <Screen name={title} top={top} bottom={<WaysOn at={at} again={props.again} />}>
        <JustSaved at={at} form={form} result={form.saved.result} />
        <LiveSync says="waits" />
      </Screen>
    );
  }
  const isSigned = form.fields.some((field) => SIGNED.includes(field.quantity));
  const save = (
    <Button
      kind="primary"
      notYet={form.isBusy ? t("log.saving") : form.missing}
      onPress={() => void form.save()}
    >
      {t("check.save")}
    </Button>
  );
  return (
    <Screen
      name={title}
      ground="keypad"
      busy={form.isBusy}
      top={top}
      bottom={<Keypad save={save} numbers={isSigned ? "signed" : "unsigned"} />}
    >
      {form.trouble && (
        <Notice kind="bad" urgency="now">
          {form.trouble}
        </Notice>
      )}
      <SavedBefore {...at} />
      <LiveSync says="waits" />
      <OnceReady form={form}>
        <div ref={box} class="stack">
          {children}
        </div>
      </OnceReady>
      <UnusualReason form={form} />
      <LiveResult {...props} />
      {after}
      <Extras form={form} />
    </Screen>
  );
}
