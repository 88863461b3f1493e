/**
 * What was set aside can be sent again from each phone of its author. The server does it once, and tells the
 * others the revision at which that was: only where the same is said of the same thing, for the same first one.
 */
import type { Written } from "./journal.ts";
import { isAside, type Receipt } from "./verdict.ts";

type Journal = Map<string, Written>;
type TakenOnce = {
  /** One for each deed, whoever sent it again. */
  deeds: Receipt[];
  /** Receipts that speak of one deed: which of them did it is not to be seen. */
  shared: Set<Receipt>;
  /** Sent again, and done again. */
  twice: Receipt[];
};

export function takenOnce(receipts: Receipt[], written: Journal): TakenOnce {
  const taken = receipts.filter((one) => !isAside(one));
  const said = [...Map.groupBy(taken, ({ id }) => whatItSays(id, written)).values()];
  return {
    deeds: said.flatMap((all) => all.slice(0, 1)),
    shared: new Set(said.filter((all) => all.length > 1).flat()),
    twice: said.flatMap(([first, ...others]) => others.filter(({ rev }) => rev !== first?.rev)),
  };
}

/** Equal for one and what was sent again for it, as far as that is the same deed. */
function whatItSays(id: string, written: Journal): string {
  const deed = written.get(id);
  if (!deed) {
    return id;
  }
  const { job_id, type, entity, fields } = deed;
  const said = Object.entries(fields).toSorted(([a], [b]) => a.localeCompare(b));
  return JSON.stringify([firstOf(deed, written), job_id, type, entity, said]);
}

function firstOf({ id, replaces }: Written, written: Journal): string {
  const before = written.get(replaces ?? "");
  return before ? firstOf(before, written) : (replaces ?? id);
}
