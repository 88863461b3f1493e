import { Button } from "../../../components/Button";
import { SelectField } from "../../../components/SelectField";
import { TextField } from "../../../components/TextField";
import type { UnitRow } from "../../../local/rows";
import { t } from "../../../text";
import { type Field, known } from "../../parts/reading/entry";
import { QuantityField } from "../../parts/reading/fields";
import { sheetEntry, sheetLimit } from "../../parts/reading/limits";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { Refrigerant, refrigerantPick, withRefrigerant } from "../../parts/reading/Refrigerant";
import { sourceWords } from "../../parts/reading/reason-words";
import { type Reading, useReading } from "../../parts/reading/useReading";
import { useTable } from "../../parts/reading/useTable";
import { quantityWords } from "../../parts/reading/value-words";
import { LIMIT, type Sourced, sourceOf, UNSAID } from "./room/source";

type TableRow = {
  refrigerant: string;
  limit_kg_m3: number | null;
  limit_lb_1000_ft3: number | null;
  source: string;
  mark: string;
};

const charge = (): Field => ({
  name: "charge_kg",
  label: t("field.charge_kg"),
  quantity: "mass",
  usual: { low: 1, high: 100 },
});
const room = (): Field => ({
  name: "room_m3",
  label: t("field.room_m3"),
  quantity: "room_volume",
  usual: { low: 5, high: 2000 },
});
const limit = (): Field => ({
  name: LIMIT,
  label: t("field.limit_kg_m3"),
  quantity: "concentration",
  usual: { low: 0.01, high: 0.5 },
});

/** Rooms of the sheet that the circuit serves, the smallest first. */
function roomsOf({ view, system }: FormProps): (UnitRow & { room_m3: number })[] {
  return view.units
    .filter((unit): unit is UnitRow & { room_m3: number } => unit.room_m3 !== null)
    .filter((unit) => unit.system_id === system?.id)
    .sort((a, b) => a.room_m3 - b.room_m3);
}

/** The charge of one circuit in the smallest room that it could leak into. */
export default function RoomLimit(at: FormProps) {
  const rooms = roomsOf(at);
  const smallest = rooms[0];
  const sheet = sheetLimit("room_limit_kg_m3", at);
  const ofSheet = sheet && sheetEntry(sheet.value, "concentration", { symbol: "g/m³" });
  const form = useReading<Sourced>({
    calculation: "room_limit",
    where: at,
    own: sheet && ofSheet ? { source: sheet.source, mark: sheet.mark, gave: ofSheet } : UNSAID,
    start: (draft) => {
      const begun = withRefrigerant(draft, at);
      const typed = { ...begun.typed };
      if (smallest) typed["room_m3"] = known(smallest.room_m3, { unit: "m³" });
      if (ofSheet) typed[LIMIT] = ofSheet;
      return { ...begun, typed };
    },
    fields: () => [charge(), room(), limit()],
    picks: () => [refrigerantPick()],
    inputs: (values, draft) => {
      const { source, mark } = sourceOf(draft);
      if (source.trim() === "") return null;
      const from = { limit_source: source.trim(), limit_mark: mark };
      return { refrigerant: draft.picked["refrigerant"], ...values, ...from };
    },
    entered: (draft) => ({ limit_source: { text: sourceOf(draft).source, unit: "" } }),
    missing: (draft) =>
      sourceOf(draft).source.trim() === "" ? t("room_limit.source_needed") : undefined,
    repeatsOwn: ({ entered, inputs }) => ({
      source: entered["limit_source"]?.text ?? "",
      mark: String(inputs["limit_mark"] ?? "M"),
      gave: entered[LIMIT] ?? null,
    }),
    again: "replaces",
    instruments: "scale",
  });
  return (
    <ReadingScreen at={at} form={form}>
      <Refrigerant form={form} />
      <QuantityField form={form} field={charge()} />
      <RoomOfSheet rooms={rooms} form={form} />
      <QuantityField form={form} field={room()} />
      <QuantityField form={form} field={limit()} />
      <Offered form={form} />
      <TextField
        name="limit_source"
        label={t("field.limit_source")}
        hint={t("room_limit.source_hint")}
        value={sourceOf(form.draft).source}
        onInput={(source) => form.change({ own: { source, mark: "M" } })}
      />
    </ReadingScreen>
  );
}

type OfForm = { form: Reading<Sourced> };

function RoomOfSheet({ rooms, form }: OfForm & { rooms: (UnitRow & { room_m3: number })[] }) {
  if (rooms.length === 0) return null;
  const put = (id: string) => {
    const found = rooms.find((one) => one.id === id);
    if (!found) return;
    const room_m3 = known(found.room_m3, { unit: "m³" });
    form.change((now) => ({ typed: { ...now.typed, room_m3 } }));
  };
  const typed = form.values["room_m3"];
  const shown = rooms.find((one) => one.room_m3 === typed);
  return (
    <SelectField
      label={t("room_limit.room_of_sheet")}
      value={shown?.id ?? ""}
      empty={t("room_limit.own_room")}
      options={rooms.map((one) => ({
        value: one.id,
        label: `${one.room ?? one.place ?? one.tag}, ${quantityWords(one.room_m3, "room_volume", form.units)}`,
      }))}
      onPick={put}
    />
  );
}

/** The limits of published tables, offered and never taken unasked. As printed, in the unit of the person: one rounded figure is never computed from the other. */
function Offered({ form }: OfForm) {
  const table = useTable<{ limits: TableRow[] }>("room_limits");
  const wanted = form.draft.picked["refrigerant"];
  const row = table?.limits.find((one) => one.refrigerant === wanted);
  if (!row) return null;
  if (row.limit_kg_m3 === null) return <p class="quiet-text">{t("room_limit.no_table")}</p>;
  const isIp = form.entryOf(limit()).shown.startsWith("lb") && row.limit_lb_1000_ft3 !== null;
  const entry = isIp
    ? known(row.limit_lb_1000_ft3 ?? 0, { unit: "lb/1000 ft³" })
    : known(Math.round(row.limit_kg_m3 * 1e6) / 1e3, { unit: "g/m³" });
  const source = sourceWords(row.source, { mark: row.mark });
  const take = () => {
    const own = { source: row.source, mark: row.mark, gave: entry, refrigerant: row.refrigerant };
    form.change((now) => ({ typed: { ...now.typed, [LIMIT]: entry }, own }));
  };
  return (
    <Button kind="quiet" onPress={take}>
      {t("room_limit.take", { value: `${entry.text}\u00a0${entry.unit}`, source })}
    </Button>
  );
}
