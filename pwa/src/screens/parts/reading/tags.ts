import type { JobView } from "../../../queries/job";

/** Ids of units as people know them; anything else stays as it is. */
export function tagsOf({ view }: { view: JobView }): (id: string) => string {
  return (id) => view.unitById.get(id)?.tag ?? id;
}
