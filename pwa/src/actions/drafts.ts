import { currentStore } from "../local/current";
import { isDiskFull, withRoom } from "../local/disk";
import { whileWriting } from "../local/open_writes";

/**
 * What somebody is typing, kept as it is typed: Android may stop the page behind the camera, and
 * a phone may die. The key is the screen's own, for example `log:<job>:<unit>`. It goes in the
 * transaction that saves the finished thing. Drafts never leave this phone.
 */

/** Photos are kept under a key of their own, or every letter typed would write them again. */
export const photosKey = (key: string) => `${key}:photos`;

/** Under which key what is mended is kept as it is typed, until it is sent again or given up. */
export const mendKey = (id: string) => `mend:${id}`;

/** `full`: this phone has no room for it; it is on the screen only, and what was kept before stays. */
export async function saveDraft(key: string, value: unknown): Promise<"kept" | "full"> {
  const draft = { key, value, saved_at: new Date().toISOString() };
  const store = currentStore.value;
  if (store) {
    const save = () => store.drafts.put(draft);
    // What is typed may use the room that is kept for words; photos may not.
    const isPhotos = key === photosKey(key.slice(0, -photosKey("").length));
    try {
      await whileWriting(() => (isPhotos ? save() : withRoom(store, save)));
    } catch (problem) {
      if (!isDiskFull(problem)) {
        throw problem;
      }
      return "full";
    }
  }
  return "kept";
}

export async function readDraft<T>(key: string): Promise<T | undefined> {
  return (await currentStore.value?.drafts.get(key))?.value as T | undefined;
}
