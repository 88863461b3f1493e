import { useState } from "preact/hooks";
import type { Mark } from "../../local/rows";
import { PhotoProblem, type PreparedPhoto, preparePhoto } from "../../photo/prepare";

/** The same picture chosen twice is one photo. */
export function withPhoto(photos: PreparedPhoto[], photo: PreparedPhoto): PreparedPhoto[] {
  return photos.some((one) => one.sha256 === photo.sha256) ? photos : [...photos, photo];
}

export type Drawn = { photo: PreparedPhoto; marks: Mark[] };

/** What was drawn goes with its photo, wherever that stands by now. */
export function withMarks(photos: PreparedPhoto[], { photo, marks }: Drawn): PreparedPhoto[] {
  return photos.map((one) => (one.sha256 === photo.sha256 ? { ...one, marks } : one));
}

/** Ends when the photo is kept, or cannot be. */
export type OnPhoto = (photo: PreparedPhoto) => Promise<void>;

/** Getting photos ready: made small on the phone, off the main thread, and kept, while the next is taken. */
export function usePreparing({ onPhoto }: { onPhoto: OnPhoto }) {
  const [working, setWorking] = useState(0);
  const [end, setEnd] = useState<"idle" | "failed">("idle");
  const take = async (files: Blob[]) => {
    setWorking((now) => now + 1);
    let come: "idle" | "failed" = "failed";
    try {
      come = await prepareEach(files, { onPhoto });
    } finally {
      setEnd(come);
      setWorking((now) => now - 1);
    }
  };
  return { state: working > 0 ? ("working" as const) : end, take };
}

/** One that cannot be read does not take the others with it. */
export async function prepareEach(
  files: Blob[],
  { onPhoto }: { onPhoto: OnPhoto },
): Promise<"idle" | "failed"> {
  let end: "idle" | "failed" = "idle";
  for (const file of files) {
    try {
      await onPhoto(await preparePhoto(file));
    } catch (problem) {
      if (!(problem instanceof PhotoProblem)) throw problem;
      end = "failed";
    }
  }
  return end;
}
