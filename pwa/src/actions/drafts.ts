import { currentStore } from "../local/current";
import { whileWriting } from "../local/open_writes";

/**
 * What somebody is typing, kept as it is typed: Android may stop the page behind the camera, and
 * a phone may die. The key is the screen's own, for example `log:<job>:<unit>`. It goes in the
 * transaction that saves the finished thing. Drafts never leave this phone.
 */

/** Photos are kept under a key of their own, or every letter typed would write them again. */
export const photosKey = (key: string) => `${key}:photos`;

export async function saveDraft(key: string, value: unknown): Promise<void> {
  const draft = { key, value, saved_at: new Date().toISOString() };
  await whileWriting(async () => currentStore.value?.drafts.put(draft));
}

export async function readDraft<T>(key: string): Promise<T | undefined> {
  return (await currentStore.value?.drafts.get(key))?.value as T | undefined;
}
