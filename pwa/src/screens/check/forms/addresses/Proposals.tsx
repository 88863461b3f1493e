import { useState } from "preact/hooks";
import { setUnit } from "../../../../actions/setUnit";
import { Button } from "../../../../components/Button";
import { Notice } from "../../../../components/Notice";
import { t } from "../../../../text";
import { failureWords } from "../../../parts/failure";
import type { FormProps } from "../../../parts/reading/ReadingScreen";
import { ADDRESS_OF, type AddressesResult } from "./table";

type Proposal = AddressesResult["proposals"][number];

/** Each kept on its unit by one press, or all of them. */
export function Proposals({ at, result }: { at: FormProps; result: AddressesResult }) {
  const [trouble, setTrouble] = useState<string>();
  const { proposals } = result;
  const free = proposals.filter((one) => one.address !== null);
  if (proposals.length === 0) return null;
  const take = async (some: Proposal[]) => {
    for (const { unit, kind, address } of some) {
      const row = at.view.units.find((one) => one.tag === unit);
      if (!row) continue;
      const changes = { [ADDRESS_OF[kind]]: String(address) };
      const kept = await setUnit({ jobId: at.view.job.id, unitId: row.id, changes });
      if (!kept.ok) return setTrouble(failureWords(kept));
    }
    setTrouble(undefined);
  };
  return (
    <section class="stack">
      <h2 class="section-title">{t("address.proposals")}</h2>
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      <p class="quiet-text">{t("address.kept_hint")}</p>
      {proposals.map((one) => {
        const words = { tag: one.unit, kind: t(`address.kind_${one.kind}`) };
        if (one.address === null) {
          return <p key={`${one.unit}${one.kind}`}>{t("address.none_free", words)}</p>;
        }
        const { address } = one;
        return (
          <Button key={`${one.unit}${one.kind}`} onPress={() => void take([one])}>
            {t("address.take_of", { ...words, address })}
          </Button>
        );
      })}
      {free.length > 1 && (
        <Button kind="quiet" onPress={() => void take(free)}>
          {t("address.take_all", { count: free.length })}
        </Button>
      )}
    </section>
  );
}
