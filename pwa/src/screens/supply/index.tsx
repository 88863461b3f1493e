import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Caution } from "../../components/Caution";
import { Keypad } from "../../components/Keypad";
import { Notice } from "../../components/Notice";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import { formatDay } from "../../format/time";
import type { Instrument } from "../../local/rows";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { EngineError, SupplyVerdict as Result } from "../../trade/types";
import { JobGate, NotHere } from "../parts/JobGate";
import { placeOf } from "../parts/unit-words";
import { Currents, Reason, RotationChoice, Voltages } from "./Fields";
import { InstrumentSheet } from "./InstrumentSheet";
import { problemWords } from "./problem-words";
import { SupplyVerdict, verdictWord } from "./SupplyVerdict";
import {
  CURRENTS,
  latestSupply,
  readingBefore,
  reversedOnFeeder,
  sameAsBefore,
  VOLTAGES,
} from "./supply";
import { useInstrument } from "./useInstrument";
import { type Module, type SupplyForm, useSupply } from "./useSupply";

export default function Supply({ id, unit }: { id: string; unit: string }) {
  const back = `/job/${id}`;
  return (
    <JobGate id={id} back={back}>
      {(view) => {
        const module = view.unitById.get(unit);
        const system = module?.system_id ? view.systemById.get(module.system_id) : undefined;
        if (!module || !system) return <NotHere back={back} />;
        return <OneModule key={unit} view={view} unit={module} system={system} />;
      }}
    </JobGate>
  );
}

function meterWords(instrument: Instrument | null, view: JobView): string {
  if (!instrument) return t("supply.no_meter");
  if (!instrument.calibrated_on) return t("supply.meter", { name: instrument.name });
  const day = formatDay(instrument.calibrated_on, { zone: view.job.time_zone });
  return t("supply.meter_calibrated", { name: instrument.name, day });
}

type FormOf = { module: Module; form: SupplyForm };

/** Out of its limits: the field itself says so. */
function isTold({ code, field }: EngineError): boolean {
  return code !== "contradictory" && [...VOLTAGES, ...CURRENTS].some((name) => name === field);
}

/** The verdict as one types; before it the caution that goes with measuring. */
function LiveVerdict({ module, form }: FormOf) {
  const { live } = form;
  if (live.kind === "verdict") {
    return (
      <SupplyVerdict
        result={live.result}
        reversed={reversedOnFeeder(module.unit, { view: module.view })}
      />
    );
  }
  return (
    <>
      {live.kind === "problem" && !isTold(live.problem) && (
        <Notice kind="doubt" urgency="now">
          {problemWords(live.problem)}
        </Notice>
      )}
      <Caution place="alone">{t("caution.electric")}</Caution>
    </>
  );
}

function Extras({ module, form, meter, onMeter }: FormOf & { meter: string; onMeter: () => void }) {
  const before = readingBefore(module.unit, { view: module.view });
  const isEmpty = Object.values(form.value.text).every((text) => text === "");
  return (
    <div class="actions">
      {before && isEmpty && (
        <Button kind="quiet" icon="repeat" onPress={() => form.change(sameAsBefore(before))}>
          {t("supply.same")}
        </Button>
      )}
      {form.value.currents === "hidden" && (
        <Button kind="quiet" icon="plus" onPress={() => form.change({ currents: "shown" })}>
          {t("supply.add_currents")}
        </Button>
      )}
      <Button kind="quiet" onPress={onMeter}>
        {meter}
      </Button>
    </div>
  );
}

function Top({ view, unit }: Module) {
  const feeder = unit.feeder && t("supply.feeder", { feeder: unit.feeder });
  return (
    <TopBar
      title={t("supply.title", { tag: unit.tag })}
      under={[placeOf(unit), feeder].filter(Boolean).join(" · ")}
      back={`/job/${view.job.id}`}
    />
  );
}

/** What was saved on the module before this one: it lies on this phone by now. */
function JustSaved({ view }: Pick<Module, "view">) {
  const { query } = useRoute();
  const unit = view.unitById.get(query.saved ?? "");
  const reading = unit && latestSupply(unit, { view });
  if (!reading) return null;
  const verdict = verdictWord(reading.outputs as Result);
  return (
    <Notice kind={reading.verdict === "pass" ? "good" : "plain"}>
      <b>{t("sync.saved")}</b> {t("supply.saved", { tag: unit.tag, verdict })}
    </Notice>
  );
}

/** Three voltages and the rotation of one module. */
function OneModule(module: Module) {
  const { instrument, keep } = useInstrument();
  const form = useSupply(module, { instrument });
  const [sheet, setSheet] = useState<"closed" | "open">("closed");
  const save = (
    <Button kind="primary" notYet={form.missing} onPress={() => void form.save()}>
      {t("supply.save")}
    </Button>
  );
  const close = () => setSheet("closed");
  return (
    <Screen
      name={t("supply.title", { tag: module.unit.tag })}
      ground="keypad"
      top={<Top {...module} />}
      bottom={<Keypad save={save} />}
    >
      {form.trouble && (
        <Notice kind="bad" urgency="now">
          {form.trouble}
        </Notice>
      )}
      <JustSaved view={module.view} />
      {module.system.nominal_v === null && <Notice kind="doubt">{t("supply.no_nominal")}</Notice>}
      <Voltages form={form} />
      <RotationChoice form={form} />
      <Reason form={form} />
      <LiveVerdict module={module} form={form} />
      <Currents form={form} />
      <Extras
        module={module}
        form={form}
        meter={meterWords(instrument, module.view)}
        onMeter={() => setSheet("open")}
      />
      {sheet === "open" && (
        <InstrumentSheet instrument={instrument} onKeep={keep} onClose={close} />
      )}
    </Screen>
  );
}
