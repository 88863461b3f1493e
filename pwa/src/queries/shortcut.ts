/**
 * The app icon's shortcuts name what to do and not where: they open it on the job whose visit is
 * next. Works with no signal; without a job they open the list.
 */
import { currentStore } from "../local/current";
import { readJobs } from "./jobs";

const PLACES: Record<string, string> = { log: "log", round: "round" };

/** The path to open instead of `/?go=…`; undefined where the address is no shortcut. */
export async function shortcutPath(url: URL): Promise<string | undefined> {
  const place = PLACES[url.searchParams.get("go") ?? ""];
  const store = currentStore.value;
  if (!place || !store || url.pathname !== "/") {
    return undefined;
  }
  const [next] = await readJobs(store);
  return next ? `/job/${next.id}/${place}` : undefined;
}
