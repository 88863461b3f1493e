/**
 * Up, and the phone's own back button, are one way. A link to a screen that lies behind in the
 * history goes back to it instead of opening it once more: otherwise the back button would lead in
 * circles through forms that were saved long ago. Where the browser does not tell its history, links
 * work as anywhere.
 */

type Entry = { key: string; url: string | null; index: number; sameDocument: boolean };
export type Navigated = {
  currentEntry: Entry | null;
  entries: () => Entry[];
  traverseTo: (key: string) => { finished: Promise<unknown> };
};

const browsers = () => (globalThis as { navigation?: Navigated }).navigation;

/** A path without a query stands for the screen however it was left, such as with its system. */
function isThere(entry: Entry, { path }: { path: string }): boolean {
  if (!entry.url || !entry.sameDocument) return false;
  const { pathname, search } = new URL(entry.url);
  return path === (path.includes("?") ? pathname + search : pathname);
}

/** Goes back to that screen, the nearest if there are several. False when it does not lie behind. */
export function wentBackTo(path: string, navigation = browsers()): boolean {
  const now = navigation?.currentEntry;
  if (!navigation || !now) return false;
  const behind = navigation.entries().filter((entry) => entry.index < now.index);
  const found = behind.reverse().find((entry) => isThere(entry, { path }));
  if (!found) return false;
  // Another press may overtake this one; the browser then calls it off, and nothing is lost.
  navigation.traverseTo(found.key).finished.catch(() => undefined);
  return true;
}

function isPlain(event: MouseEvent): boolean {
  return event.button === 0 && !(event.ctrlKey || event.metaKey || event.altKey || event.shiftKey);
}

function onClick(event: MouseEvent): void {
  const link = event.target instanceof Element && event.target.closest("a[href]");
  if (!(link instanceof HTMLAnchorElement) || !isPlain(event)) return;
  if (link.origin !== location.origin || link.target !== "" || link.download) return;
  if (wentBackTo(link.pathname + link.search)) {
    event.preventDefault();
    event.stopPropagation();
  }
}

/** Before the router sees the press. */
export function watchTheWayBack(): void {
  window.addEventListener("click", onClick, { capture: true });
}
