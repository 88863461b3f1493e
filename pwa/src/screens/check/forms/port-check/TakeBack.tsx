import { useState } from "preact/hooks";
import { Button } from "../../../../components/Button";
import { Sheet } from "../../../../components/Sheet";
import { t } from "../../../../text";
import { isRead } from "./draft";
import { addedRound, takenBack } from "./rounds";
import type { Check } from "./usePortCheck";

/** A round that was added can go again; what was read in it is asked about first. */
export function TakeBack({ check, round }: { check: Check; round: number }) {
  const [isAsked, setAsked] = useState(false);
  const { form, units } = check;
  const { draft } = form;
  const kept = draft.own.rounds[round];
  if (addedRound(draft.own) !== round || !kept?.after) return null;
  const tags = units.filter(({ id }) => kept.read?.includes(id)).map(({ tag }) => tag);
  const takeBack = () => form.change(takenBack);
  const isTyped = units.some((unit) => isRead(round, { draft, unit }));
  return (
    <section class="stack">
      <p class="quiet-text">{t(`port_check.after_${kept.after}`)}</p>
      <p>{t("port_check.read_these", { tags: tags.join(", ") })}</p>
      <Button kind="quiet" onPress={() => (isTyped ? setAsked(true) : takeBack())}>
        {t("port_check.take_back")}
      </Button>
      {isAsked && (
        <Sheet title={t("port_check.take_back_sure")} onClose={() => setAsked(false)}>
          <div class="stack">
            <p>{t("port_check.take_back_words")}</p>
            <Button kind="danger" onPress={takeBack}>
              {t("port_check.take_back")}
            </Button>
            <Button onPress={() => setAsked(false)}>{t("port_check.keep")}</Button>
          </div>
        </Sheet>
      )}
    </section>
  );
}
