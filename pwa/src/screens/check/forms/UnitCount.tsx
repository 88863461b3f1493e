import { Button } from "../../../components/Button";
import { Notice } from "../../../components/Notice";
import { t } from "../../../text";
import type { Field, Pick, ReadingDraft } from "../../parts/reading/entry";
import { PickField, QuantityField, QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { ResultCard } from "../../parts/reading/ResultCard";
import { codeWords } from "../../parts/reading/reason-words";
import { type Reading, useReading } from "../../parts/reading/useReading";
import "./count/count.css";
import { type CountResult, countInputs, NOT_BEGUN, type Walk, walkOf } from "./count/count";
import { NextThing } from "./count/NextThing";
import { PortsNamed } from "./count/PortsNamed";
import { WalkTheRound } from "./count/WalkTheRound";
import { boxesOf, indoorUnits } from "./ports/sheet";

const units = (): Field => ({
  name: "reported_units",
  label: t("field.reported_units"),
  quantity: "count",
});
const ports = (): Field => ({
  name: "reported_ports",
  label: t("field.reported_ports"),
  quantity: "count",
});

const asksPorts = (draft: ReadingDraft<Walk>) => draft.picked["ports_told"] === "number";

const told = (): Pick => ({
  name: "ports_told",
  label: t("count.ports_told"),
  options: [
    { value: "none", label: t("count.ports_none") },
    { value: "number", label: t("count.ports_number") },
    { value: "names", label: t("count.ports_names") },
  ],
});

/** How many indoor units answer; where some do not, the walk that finds them. */
export default function UnitCount(at: FormProps) {
  const hasPorts = boxesOf(at).length > 0;
  const form = useReading<Walk, CountResult>({
    calculation: "unit_count",
    where: at,
    own: NOT_BEGUN,
    start: (draft) => ({ ...draft, picked: { ports_told: "none" } }),
    fields: (draft) => (asksPorts(draft) ? [units(), ports()] : [units()]),
    picks: () => (hasPorts ? [told()] : []),
    inputs: (values, draft) => countInputs(values, { draft, where: at }),
    // A number counted before is not one that was counted now.
    repeats: [],
    again: "replaces",
  });
  const { length } = indoorUnits(at);
  return (
    <ReadingScreen
      at={at}
      form={form}
      after={<AfterCount at={at} form={form} />}
      result={(result) => <Counted at={at} form={form} result={result as CountResult} />}
    >
      <p class="quiet-text">
        {length > 0 ? t("count.expected", { count: length }) : t("count.no_units")}
      </p>
      <QuantityFields form={form} fields={[units()]} />
      {hasPorts && <PickField form={form} pick={told()} />}
      {asksPorts(form.draft) && (
        <div>
          <QuantityField form={form} field={ports()} />
        </div>
      )}
      {form.draft.picked["ports_told"] === "names" && <PortsNamed form={form} where={at} />}
    </ReadingScreen>
  );
}

type Props = { at: FormProps; form: Reading<Walk, CountResult> };

/** The first thing to do stands on top of all; what comes after it in the card. */
function Counted({ at, form, result }: Props & { result: CountResult }) {
  return (
    <>
      <NextThing at={at} walk={form.draft.own} result={result} />
      <ResultCard
        calculation="unit_count"
        result={result}
        units={form.units}
        next={codeWords(result.next?.slice(1))}
      />
    </>
  );
}

/** The walk opens by itself when units are missing, and stays once it is begun. */
function AfterCount({ at, form }: Props) {
  const { own } = form.draft;
  const result = form.live.kind === "result" ? form.live.result : undefined;
  const isBegun = Object.keys(own.seen).length > 0;
  const asksToLook = result?.verdict === "unclear" || (result?.missing_count ?? 0) > 0;
  const before = walkOf(form.last);
  return (
    <>
      {!isBegun && Object.keys(before).length > 0 && (
        <Notice>
          <Button kind="quiet" onPress={() => form.changeOwn({ seen: before })}>
            {t("count.go_on")}
          </Button>
        </Notice>
      )}
      {isBegun || own.opened === "yes" || asksToLook ? (
        <WalkTheRound at={at} form={form} result={result} />
      ) : (
        result && (
          <Button kind="quiet" onPress={() => form.changeOwn({ opened: "yes" })}>
            {t("count.open_walk")}
          </Button>
        )
      )}
    </>
  );
}
