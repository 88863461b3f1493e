import { t } from "../../../../text";
import type { Place, PortCheckDraft } from "./draft";
import { numberOf, placesOf } from "./rounds";
import type { Check } from "./usePortCheck";

export function placeWords(place: Place, own: PortCheckDraft): string {
  if (place === "start") return t("port_check.start_title");
  if (place === "result") return t("port_check.result");
  return t("port_check.round", { number: numberOf(own, place) });
}

/** On to any round and back: a number can be mended, or a round left for later. */
export function PlaceStrip({ check }: { check: Check }) {
  const { form } = check;
  const { own } = form.draft;
  const shown = (place: Place) => {
    if (place === "start") return t("port_check.start");
    return place === "result" ? t("port_check.result") : String(numberOf(own, place));
  };
  return (
    <nav class="place-strip" aria-label={t("port_check.rounds_nav")}>
      {placesOf(form.draft).map((place) => (
        <button
          key={place}
          type="button"
          class="place"
          aria-current={place === own.place ? "step" : undefined}
          aria-label={placeWords(place, own)}
          onClick={() => form.changeOwn({ place })}
        >
          {shown(place)}
        </button>
      ))}
    </nav>
  );
}
