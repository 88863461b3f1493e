/** Which instruments took a reading, and what is to be said of them. */
import { formatDay } from "../../../format/time";
import { addDays } from "../../../format/zoned";
import type { KeptInstrument, Preferences } from "../../../local/preferences";
import type { Instrument } from "../../../local/rows";
import { t } from "../../../text";

/** Instruments are usually calibrated once a year (P: common practice, no published source). */
const CALIBRATED_FOR_DAYS = 365;

export function inUse(
  kind: string,
  { chosen, preferences }: { chosen: string[] | null; preferences: Preferences | undefined },
): KeptInstrument[] {
  const ids = chosen ?? preferences?.in_use[kind] ?? [];
  return (preferences?.instruments ?? []).filter((one) => ids.includes(one.id));
}

/** As it goes with the reading: the first, and beside it the others. */
export function written(instruments: KeptInstrument[]): Instrument | null {
  const [first, ...others] = instruments.map(({ id: _, ...one }): Instrument => one);
  if (!first) return null;
  return others.length > 0 ? { ...first, others } : first;
}

export function instrumentWords(instruments: KeptInstrument[], { zone }: { zone: string }): string {
  const [only, ...others] = instruments;
  if (!only) return t("instrument.none");
  const name = instruments.map((one) => one.name).join(", ");
  if (others.length > 0 || !only.calibrated_on) return t("instrument.used", { name });
  return t("instrument.used_calibrated", { name, day: formatDay(only.calibrated_on, { zone }) });
}

/** Told, never refused: a reading with an old instrument is worth more than none. */
export function calibrationDoubts(instruments: Instrument[], { today }: { today: string }) {
  return instruments.flatMap(({ name, calibrated_on }) => {
    if (!calibrated_on) return [t("instrument.no_date", { name })];
    const until = addDays(calibrated_on, CALIBRATED_FOR_DAYS);
    return until < today ? [t("instrument.old", { name })] : [];
  });
}
