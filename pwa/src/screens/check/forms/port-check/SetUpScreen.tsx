import { Button } from "../../../../components/Button";
import { Caution } from "../../../../components/Caution";
import { Keypad } from "../../../../components/Keypad";
import { Notice } from "../../../../components/Notice";
import { Screen } from "../../../../components/Screen";
import { TopBar } from "../../../../components/TopBar";
import { formatSpan } from "../../../../format/time";
import { t } from "../../../../text";
import { LiveSync } from "../../../parts/LiveSync";
import { PickField, QuantityField } from "../../../parts/reading/fields";
import { InstrumentLine } from "../../../parts/reading/InstrumentLine";
import { LastReading } from "../../../parts/reading/LastReading";
import { ReasonList } from "../../../parts/reading/ResultCard";
import { codeWords } from "../../../parts/reading/reason-words";
import type { PlanResult } from "./draft";
import { PlanGrid } from "./PlanGrid";
import { begin } from "./rounds";
import { Settings } from "./Settings";
import {
  type Check,
  distancePick,
  howPick,
  modePick,
  shareField,
  shareSource,
} from "./usePortCheck";

type Props = { check: Check };

/** What one thermometer has to do, said before anybody begins. */
function HowItIsRead({ check }: Props) {
  const { picked } = check.form.draft;
  const isSupply = picked["how"] === "supply";
  return (
    <>
      <PickField form={check.form} pick={howPick()} />
      <p class="quiet-text">
        {isSupply
          ? t("port_check.how_supply_words")
          : t("port_check.how_difference_words", { mode: picked["mode"] ?? "cooling" })}
      </p>
    </>
  );
}

function Planned({ check, plan }: Props & { plan: PlanResult }) {
  const { form, units } = check;
  const { round_s = 0 } = form.values;
  return (
    <section class="stack" aria-live="polite">
      <ReasonList calculation="port_check_plan" result={plan} units={form.units} />
      <p>{t("port_check.takes", { span: formatSpan(plan.rounds.length * round_s) })}</p>
      <p>
        <b>{codeWords(plan.next).join(" ")}</b>
      </p>
      <PlanGrid units={units} rounds={plan.rounds} />
    </section>
  );
}

/** A check that was saved with something open is not lost: one more round may settle it. */
function GoOn({ check: { form, open } }: Props) {
  if (!open) return null;
  return (
    <Notice kind="doubt">
      <b>{t("port_check.open_words")}</b>
      <div class="actions">
        <Button onPress={() => form.change(open)}>{t("port_check.go_on")}</Button>
      </div>
    </Notice>
  );
}

/** How much is to be noticed, how many may run at once, and the rounds that follow from it. */
export function SetUpScreen({ check }: Props) {
  const { at, form, units, sharing, plan, shareError, planProblem } = check;
  const found = plan.kind === "result" ? plan.result : undefined;
  const title = t("port_check.plan_title");
  const under = t("port_check.under", { tag: at.system?.tag ?? "" });
  const start = () => {
    if (found) form.changeOwn(begin(found, { now: new Date().toISOString(), draft: form.draft }));
  };
  const source = shareSource(check);
  const wrong = form.fields.some((field) => form.errorOf(field));
  const save = (
    <Button
      kind="primary"
      notYet={
        found && !wrong ? undefined : t(planProblem ? "port_check.no_rounds" : "port_check.no_plan")
      }
      onPress={start}
    >
      {t("port_check.begin")}
    </Button>
  );
  return (
    <Screen
      name={title}
      ground="keypad"
      top={<TopBar title={title} under={under} back={at.back} />}
      bottom={<Keypad save={save} />}
    >
      <LiveSync says="waits" />
      <GoOn check={check} />
      <p>{t("port_check.idea")}</p>
      {at.cautions.length > 0 && <Caution place="alone">{codeWords(at.cautions)}</Caution>}
      {form.ready && units.length < 2 && <Notice kind="doubt">{t("port_check.no_ports")}</Notice>}
      {sharing.length > 0 && (
        <Notice kind="doubt">
          {t("port_check.shares", { tags: sharing.map((unit) => unit.tag).join(", ") })}
        </Notice>
      )}
      {planProblem && (
        <Notice kind="doubt" urgency="now">
          {planProblem}
        </Notice>
      )}
      <PickField form={form} pick={distancePick()} />
      {form.draft.picked["distance"] === "2" && (
        <p class="quiet-text">{t("port_check.distance_2_words")}</p>
      )}
      <div>
        <QuantityField form={withError(form, shareError)} field={shareField()} />
      </div>
      <p class="quiet-text">
        {source ? t("port_check.share_of_sheet", { source }) : t("port_check.share_hint")}
      </p>
      <PickField form={form} pick={modePick()} />
      <HowItIsRead check={check} />
      <Settings check={check} />
      {found && <Planned check={check} plan={found} />}
      <InstrumentLine
        zone={at.view.job.time_zone}
        inUse={form.instruments}
        onChoose={(instruments) => form.change({ instruments })}
      />
      {form.last && <LastReading view={at.view} reading={form.last} />}
    </Screen>
  );
}

/** The share is judged by the plan, whose limits the form itself does not know. */
function withError(form: Check["form"], error: string | undefined): Check["form"] {
  return error ? { ...form, errorOf: () => error } : form;
}
