/**
 * A photo as an address that an <img> can show: from this phone where it is, else fetched and kept.
 * With no signal a photo of another phone shows nothing yet; it is asked for again later.
 */
import { effect, type ReadonlySignal } from "@preact/signals";
import { session } from "../local/session";
import type { Store } from "../local/store";
import { rendition } from "../sync/renditions";
import { lineFor } from "../sync/start";
import { lineStatus } from "../sync/status";
import { keyOf } from "./live";
import { type Start, useShared } from "./shared";

export type PhotoSize = "thumb" | "large";

export function usePhotoUrl(photoId: string, size: PhotoSize): ReadonlySignal<string | undefined> {
  return useShared(keyOf(`photo/${photoId}/${size}`), startPhoto(photoId, size));
}

type Found = { blob: Blob; isFinal: boolean };

export function startPhoto(id: string, size: PhotoSize): Start<string> {
  return (set) => {
    const urls: string[] = [];
    let isFinal = false;
    let isLooking = false;
    let hasLooked = false;
    const look = async () => {
      isLooking = true;
      hasLooked = true;
      const found = await findPhoto(id, size).finally(() => {
        isLooking = false;
      });
      // The small picture stands in once, until the large one can be had.
      if (found && (found.isFinal || urls.length === 0)) {
        isFinal = found.isFinal;
        const url = URL.createObjectURL(found.blob);
        urls.push(url);
        set(url);
      }
    };
    // Tried at once and after every round with the server, until it is there.
    const stop = effect(() => {
      const isDue = !lineStatus.value.sending || !hasLooked;
      if (isDue && !isFinal && !isLooking) {
        look().catch(reportError);
      }
    });
    return () => {
      stop();
      urls.forEach(URL.revokeObjectURL);
    };
  };
}

async function findPhoto(id: string, size: PhotoSize): Promise<Found | undefined> {
  const who = session.peek();
  if (!who) {
    return undefined;
  }
  const line = lineFor(who);
  const own = size === "large" ? await fullPhoto(line.store, id) : undefined;
  const whole = own ?? (await rendition(line, { id, size }));
  if (whole) {
    return { blob: whole, isFinal: true };
  }
  const small = await line.store.thumbs.get([id, "thumb"]);
  return small ? { blob: small.blob, isFinal: false } : undefined;
}

async function fullPhoto(store: Store, id: string): Promise<Blob | undefined> {
  return (await store.photos_full.get(id))?.blob;
}
