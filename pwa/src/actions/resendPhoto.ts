import { currentStore } from "../local/current";
import { unlessFull, withRoom } from "../local/disk";
import type { Result } from "../local/result";
import { sendNow } from "./sendNow";

export { canGoAgain } from "../sync/photo_state";

/**
 * Send at once a photo that the server did not take, or that this phone could not read, and not only
 * now and then. How often it came to nothing stays known: the next no is told without waiting for more.
 */
export async function resendPhoto(id: string): Promise<Result> {
  const store = currentStore.value;
  if (!store) {
    return { ok: false, code: "not_signed_in" };
  }
  const { uploads, attention } = store;
  const letGo = async (): Promise<Result> => {
    const found = await store.transaction("rw", uploads, attention, async () => {
      await attention.delete(id);
      return await uploads.update(id, { held: false });
    });
    return found ? { ok: true, id } : { ok: false, code: "not_found" };
  };
  const done = await unlessFull<Result>(() => withRoom(store, letGo), {
    otherwise: { ok: false, code: "disk_full" },
  });
  await sendNow();
  return done;
}
