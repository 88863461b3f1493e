import { Button } from "../../../components/Button";
import { Choice } from "../../../components/Choice";
import { t } from "../../../text";
import { lastInSystem } from "../../parts/reading/before";
import { type Field, known, type ReadingDraft } from "../../parts/reading/entry";
import { QuantityFields } from "../../parts/reading/fields";
import { type FormProps, ReadingScreen } from "../../parts/reading/ReadingScreen";
import { useReading } from "../../parts/reading/useReading";
import "./addresses/addresses.css";
import { AddressTable } from "./addresses/AddressTable";
import { Proposals } from "./addresses/Proposals";
import {
  type AddressesResult,
  addressInputs,
  editsOf,
  end,
  KINDS,
  kindsOf,
  type Table,
} from "./addresses/table";

const fieldsOf = (at: FormProps, draft: ReadingDraft<Table>): Field[] =>
  kindsOf(at, draft).flatMap((kind) =>
    ([0, 1] as const).map(
      (place): Field => ({
        name: end(kind, place),
        label: t(`field.${kind}_range[${place}]`),
        quantity: "count",
        need: kind === "group" ? "needed" : "optional",
      }),
    ),
  );

/** The ranges are the maker's: once typed they stand for every reading on this system. */
function withRanges(draft: ReadingDraft<Table>, at: FormProps): ReadingDraft<Table> {
  const before = lastInSystem("addresses", at)?.inputs;
  const typed = { ...draft.typed };
  for (const kind of KINDS) {
    const range = before?.[`${kind}_range`] as [number, number] | undefined;
    for (const place of [0, 1] as const) {
      if (range) typed[end(kind, place)] = known(range[place], { unit: "" });
    }
  }
  return { ...draft, typed };
}

/** Every address of a system or of the site: what is there twice, missing, or out of range. */
export default function Addresses(at: FormProps) {
  const isOne = at.view.systems.length < 2;
  const form = useReading<Table, AddressesResult>({
    calculation: "addresses",
    where: at,
    own: { scope: isOne ? "system" : "site", edits: [], central: "as_on_sheet" },
    start: (draft) => withRanges(draft, at),
    fields: (draft) => fieldsOf(at, draft),
    inputs: (values, draft) => addressInputs(values, { draft, where: at }),
    missing: ({ own }, live) => {
      const tag = at.view.unitById.get(editsOf(own)[0]?.unitId ?? "")?.tag;
      if (tag) return t("address.keep_first", { tag });
      return live.kind === "none" ? t("address.both_ends") : undefined;
    },
    repeats: [],
    again: "replaces",
  });
  const result = form.live.kind === "result" ? form.live.result : undefined;
  const tag = at.unit?.tag;
  return (
    <ReadingScreen
      at={at}
      form={form}
      after={
        <>
          {tag && at.step && <p class="quiet-text">{t("address.settles", { tag })}</p>}
          {result && <Proposals at={at} result={result} />}
          <AddressTable at={at} form={form} result={result} />
        </>
      }
    >
      <h2>{t("address.ranges")}</h2>
      <QuantityFields form={form} />
      {!kindsOf(at, form.draft).includes("central") && (
        <Button kind="quiet" icon="plus" onPress={() => form.changeOwn({ central: "asked" })}>
          {t("address.central_too")}
        </Button>
      )}
      {!isOne && (
        <>
          <Choice
            label={t("address.scope")}
            value={form.draft.own.scope}
            onPick={(scope) => form.changeOwn({ scope })}
            options={[
              { value: "site", label: t("address.of_site") },
              { value: "system", label: t("address.of_system", { tag: at.system?.tag ?? "" }) },
            ]}
          />
          {form.draft.own.scope === "system" && (
            <p class="quiet-text">{t("address.of_system_hint")}</p>
          )}
        </>
      )}
    </ReadingScreen>
  );
}
