/**
 * Android may stop the page while the camera is in front, and an installed app then starts anew
 * without the photo. So before the camera opens, the phone writes down (strictly) which screen asked
 * and under which key its draft lies; on the next start that screen comes back with what was typed.
 */
import { currentStore } from "../local/current";
import { findRoom, isDiskFull } from "../local/disk";
import type { CaptureIntent } from "../local/records";
import { freeBytes } from "../offline/storage";

export type { CaptureIntent } from "../local/records";

/** A photo is about 0.6 MB; below this the person is told before they take one. (P) */
const ROOM_FOR_A_PHOTO_BYTES = 5_000_000;

/** Is there room for a photo, as far as this phone can tell? */
async function hasRoom(): Promise<boolean> {
  const free = await freeBytes();
  if (free !== undefined && free < ROOM_FOR_A_PHOTO_BYTES) {
    return false;
  }
  const store = currentStore.value;
  return !store || (await findRoom(store));
}

/** Await it before the camera or the gallery opens. False when this phone has no room for a photo. */
export async function openCapture(intent: { path: string; draftKey: string }): Promise<boolean> {
  if (!(await hasRoom())) {
    return false;
  }
  const store = currentStore.value;
  try {
    await store?.intents.put({
      id: "camera",
      path: intent.path,
      draft_key: intent.draftKey,
      opened_at: new Date().toISOString(),
    });
  } catch (problem) {
    if (!isDiskFull(problem)) {
      throw problem;
    }
    // Not even that could be written: a photo has no room either.
    return false;
  }
  return true;
}

/** For the next photo, while the camera is open. One that was shut meanwhile is not opened by that. */
export async function stayInCapture(): Promise<boolean> {
  const isRoom = await hasRoom();
  await currentStore.value?.intents
    .update("camera", { opened_at: new Date().toISOString() })
    .catch((problem: unknown) => {
      if (!isDiskFull(problem)) throw problem;
    });
  return isRoom;
}

/** The photo has come, or the person turned back. */
export async function closeCapture(): Promise<void> {
  await currentStore.value?.intents.clear();
}

/** The person was told that it came to nothing; by now the camera may be open once more, which is another one. */
export async function forgetCapture({ opened_at }: CaptureIntent): Promise<void> {
  await currentStore.value?.intents.filter((one) => one.opened_at === opened_at).delete();
}

/** An intent from longer ago than this is no longer what the person is doing. (P) */
const FRESH_MS = 30 * 60_000;

/** The screen to go back to after a restart behind the camera. */
export async function openIntent(): Promise<CaptureIntent | undefined> {
  const intent = await currentStore.value?.intents.get("camera");
  const isFresh = intent && Date.now() - Date.parse(intent.opened_at) < FRESH_MS;
  return isFresh ? intent : undefined;
}
