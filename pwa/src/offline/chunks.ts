/**
 * A screen whose chunk cannot be loaded: the running version is older than what the server now has,
 * and this phone's copy is incomplete. One reload fetches the whole new version; a second failure in
 * a row is a real fault and reaches the error boundary. Drafts are saved as typed, so nothing is lost.
 */
import { noOpenWrites } from "../local/open_writes";

const TRIED = "flarenut-reloaded-at";
const AGAIN_MS = 60_000;

export function guardChunks(): void {
  addEventListener("vite:preloadError", (event) => {
    const tried_at = Number(sessionStorage.getItem(TRIED) ?? 0);
    if (!navigator.onLine || Date.now() - tried_at < AGAIN_MS) {
      return;
    }
    event.preventDefault();
    sessionStorage.setItem(TRIED, String(Date.now()));
    void noOpenWrites().then(() => location.reload());
  });
}
