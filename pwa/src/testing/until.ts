/** Real time goes on under false timers. */
const later = setTimeout;
/** A millisecond each at the least: far more than whatever is waited for takes on a busy machine. */
const MOST_LOOKS = 20_000;

/** Waits for a fact, and not for a time. */
export async function until(isSo: () => boolean): Promise<void> {
  for (let look = 0; !isSo(); look += 1) {
    if (look === MOST_LOOKS) throw new Error(`never came true: ${isSo}`);
    await new Promise((resolve) => later(resolve, 1));
  }
}
