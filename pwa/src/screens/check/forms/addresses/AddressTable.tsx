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
  closed,
  type Edit,
  editsOf,
  isAddress,
  type Kind,
  kindsOf,
  opened,
  type Table,
  troublesOf,
  unitsShown,
} from "./table";

type Form = Reading<Table, AddressesResult>;
type Props = { at: FormProps; form: Form; result: AddressesResult | undefined };

/** Only what is open now is changed: other units may be typed at the same time. */
const changeEdits = (form: Form, change: (edits: Edit[]) => Edit[]) =>
  form.change((now) => ({ own: { ...now.own, edits: change(editsOf(now.own)) } }));

/** One unit while its addresses are typed: kept as a draft until it is kept on the unit. */
function EditRow({ at, form, unit, edit }: Omit<Props, "result"> & { unit: UnitRow; edit: Edit }) {
  const [trouble, setTrouble] = useState<string>();
  const kinds = kindsOf(at, form.draft);
  const isWrong = (kind: Kind) => !isAddress(edit[kind]);
  const close = () => changeEdits(form, (edits) => closed(edits, edit));
  const put = (part: Partial<Edit>) =>
    changeEdits(form, (edits) =>
      edits.map((one) => (one.unitId === unit.id ? { ...one, ...part } : one)),
    );
  const keep = async () => {
    if (kinds.some(isWrong)) return;
    const changes = changesOf(unit, edit);
    if (Object.keys(changes).length > 0) {
      const kept = await setUnit({ jobId: at.view.job.id, unitId: unit.id, changes });
      if (!kept.ok) return setTrouble(failureWords(kept));
    }
    close();
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
        {kinds.map((kind) => (
          <NumberField
            key={kind}
            label={t("address.of_kind", { kind: t(`address.kind_${kind}`), tag: unit.tag })}
            unit=""
            text={edit[kind]}
            error={isWrong(kind) ? t("address.wrong") : undefined}
            onText={(text) => put({ [kind]: text })}
          />
        ))}
      </div>
      <div class="actions">
        <Button onPress={() => void keep()}>{t("address.keep", { tag: unit.tag })}</Button>
        <Button kind="quiet" onPress={close}>
          {t("address.leave")}
        </Button>
      </div>
    </div>
  );
}

/** The table of the sheet; a press on a unit opens its addresses to be typed. */
export function AddressTable({ at, form, result }: Props) {
  const trouble = troublesOf(result);
  const { own } = form.draft;
  const open = (unit: UnitRow) => changeEdits(form, (edits) => opened(edits, unit, at));
  const editOf = (unit: UnitRow) => editsOf(own).find((edit) => edit.unitId === unit.id);
  return (
    <section>
      <h2 class="section-title">{t("address.table")}</h2>
      <ul>
        {unitsShown(at, own).map((unit) => (
          <li key={unit.id}>
            <OneUnit
              at={at}
              unit={unit}
              form={form}
              edit={editOf(unit)}
              trouble={trouble}
              onOpen={() => open(unit)}
            />
          </li>
        ))}
      </ul>
    </section>
  );
}

type UnitProps = Omit<Props, "result"> & {
  unit: UnitRow;
  edit: Edit | undefined;
  trouble: ReturnType<typeof troublesOf>;
  onOpen: () => void;
};

/** A line of the table, or what is typed for it. */
function OneUnit({ at, form, unit, edit, trouble, onOpen }: UnitProps) {
  if (edit) return <EditRow at={at} form={form} unit={unit} edit={edit} />;
  return (
    <button type="button" class="unit-row" onClick={onOpen}>
      <span class="unit-row-words">
        <span class="unit-row-tag">{unit.tag}</span>
        {unit.id === at.unit?.id && <b> · {t("address.here")}</b>}
        <span class="quiet-text block">{placeOf(unit)}</span>
      </span>
      <span class="unit-row-end">
        {kindsOf(at, form.draft).map((kind) => (
          <OneAddress
            key={kind}
            kind={kind}
            address={unit[ADDRESS_OF[kind]]}
            trouble={trouble(unit.tag, kind)}
          />
        ))}
      </span>
    </button>
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
