/** Waits for a fact, and not for a time: only the limit of the whole test ends it. Real time goes on under false timers. */
const later = setTimeout;

export async function until(isSo: () => boolean): Promise<void> {
  while (!isSo()) {
    await new Promise((resolve) => later(resolve, 1));
  }
}
