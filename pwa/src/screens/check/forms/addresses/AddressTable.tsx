import { useState } from "preact/hooks";
import { setUnit } from "../../../../actions/setUnit";
import { Button } from "../../../../components/Button";
import { Notice } from "../../../../components/Notice";
import { NumberField } from "../../../../components/NumberField";
import type { UnitRow } from "../../../../local/rows";
import { t } from "../../../../text";
import { failureWords } from "../../../parts/failure";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import type { Reading } from "../../../parts/reading/useReading";
import { placeOf } from "../../../parts/unit-words";
import {
  ADDRESS_OF,
  type AddressesResult,
  changesOf,
  type Edit,
  isAddress,
  type Kind,
  kindsOf,
  type Table,
  troublesOf,
  unitsFor,
} from "./table";

type Form = Reading<Table, AddressesResult>;
type Props = { at: FormProps; form: Form; result: AddressesResult | undefined };

/** One unit while its addresses are typed: kept as a draft until it is kept on the unit. */
function EditRow({ at, form, unit, edit }: Omit<Props, "result"> & { unit: UnitRow; edit: Edit }) {
  const [trouble, setTrouble] = useState<string>();
  const isWrong = (kind: Kind) => !isAddress(edit[kind]);
  const keep = async () => {
    if (kindsOf(at).some(isWrong)) return;
    const changes = changesOf(unit, edit);
    if (Object.keys(changes).length > 0) {
      const kept = await setUnit({ jobId: at.view.job.id, unitId: unit.id, changes });
      if (!kept.ok) return setTrouble(failureWords(kept));
    }
    form.changeOwn({ edit: null });
  };
  return (
    <div class="stack address-edit">
      <h3>{unit.tag}</h3>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <div>
        {kindsOf(at).map((kind) => (
          <NumberField
            key={kind}
            label={t("address.of_kind", { kind: t(`address.kind_${kind}`), tag: unit.tag })}
            unit=""
            text={edit[kind]}
            error={isWrong(kind) ? t("address.wrong") : undefined}
            onText={(text) =>
              form.change((now) => ({
                own: { ...now.own, edit: { ...(now.own.edit ?? edit), [kind]: text } },
              }))
            }
          />
        ))}
      </div>
      <div class="actions">
        <Button onPress={() => void keep()}>{t("address.keep", { tag: unit.tag })}</Button>
        <Button kind="quiet" onPress={() => form.changeOwn({ edit: null })}>
          {t("address.leave")}
        </Button>
      </div>
    </div>
  );
}

/** The table of the sheet; a press on a unit opens its addresses to be typed. */
export function AddressTable({ at, form, result }: Props) {
  const kinds = kindsOf(at);
  const trouble = troublesOf(result);
  const { edit, scope } = form.draft.own;
  const open = (unit: UnitRow) =>
    form.changeOwn({
      edit: {
        unitId: unit.id,
        group: unit.group_address ?? "",
        central: unit.central_address ?? "",
      },
    });
  return (
    <section>
      <h2 class="section-title">{t("address.table")}</h2>
      <ul>
        {unitsFor(at, { scope }).map((unit) => (
          <li key={unit.id}>
            {edit?.unitId === unit.id ? (
              <EditRow at={at} form={form} unit={unit} edit={edit} />
            ) : (
              <button type="button" class="unit-row" onClick={() => open(unit)}>
                <span class="unit-row-words">
                  <span class="unit-row-tag">{unit.tag}</span>
                  {unit.id === at.unit?.id && <b> · {t("address.here")}</b>}
                  <span class="quiet-text block">{placeOf(unit)}</span>
                </span>
                <span class="unit-row-end">
                  {kinds.map((kind) => (
                    <OneAddress
                      key={kind}
                      kind={kind}
                      address={unit[ADDRESS_OF[kind]]}
                      trouble={trouble(unit.tag, kind)}
                    />
                  ))}
                </span>
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

type AddressProps = {
  kind: Kind;
  address: string | null;
  trouble: ReturnType<ReturnType<typeof troublesOf>>;
};

function OneAddress({ kind, address, trouble }: AddressProps) {
  return (
    <span class={trouble ? "block address-wrong" : "block"}>
      {t(`address.${kind}`)} <b class="number">{address || t("address.none")}</b>
      {trouble && <b> · {t(`address.${trouble}`)}</b>}
    </span>
  );
}
