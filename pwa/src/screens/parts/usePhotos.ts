import { useEffect, useState } from "preact/hooks";
import { PhotoProblem, type PreparedPhoto, preparePhoto } from "../../photo/prepare";

/** The same picture chosen twice is one photo. */
export function withPhoto(photos: PreparedPhoto[], photo: PreparedPhoto): PreparedPhoto[] {
  return photos.some((one) => one.sha256 === photo.sha256) ? photos : [...photos, photo];
}

/** Getting photos ready: made small on the phone, one after the other, off the main thread. */
export function usePreparing({ onPhoto }: { onPhoto: (photo: PreparedPhoto) => void }) {
  const [state, setState] = useState<"idle" | "working" | "failed">("idle");
  const take = async (files: File[]) => {
    setState("working");
    let end: "idle" | "failed" = "failed";
    try {
      end = await prepareEach(files, { onPhoto });
    } finally {
      setState(end);
    }
  };
  return { state, take };
}

/** One that cannot be read does not take the others with it. */
async function prepareEach(
  files: File[],
  { onPhoto }: { onPhoto: (photo: PreparedPhoto) => void },
): Promise<"idle" | "failed"> {
  let end: "idle" | "failed" = "idle";
  for (const file of files) {
    try {
      onPhoto(await preparePhoto(file));
    } catch (problem) {
      if (!(problem instanceof PhotoProblem)) throw problem;
      end = "failed";
    }
  }
  return end;
}

/** An address for a picture in memory, given back when the picture leaves the screen. */
export function useBlobUrl(blob: Blob): string | undefined {
  const [url, setUrl] = useState<string>();
  useEffect(() => {
    const made = URL.createObjectURL(blob);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [blob]);
  return url;
}
