import { useEffect, useState } from "preact/hooks";
import { PhotoProblem, type PreparedPhoto, preparePhoto } from "../../photo/prepare";

/** Getting photos ready: made small on the phone, one after the other, off the main thread. */
export function usePreparing({ onPhoto }: { onPhoto: (photo: PreparedPhoto) => void }) {
  const [state, setState] = useState<"idle" | "working" | "failed">("idle");
  const take = async (files: File[]) => {
    setState("working");
    let end: "idle" | "failed" = "idle";
    for (const file of files) {
      try {
        onPhoto(await preparePhoto(file));
      } catch (problem) {
        if (!(problem instanceof PhotoProblem)) throw problem;
        end = "failed";
      }
    }
    setState(end);
  };
  return { state, take };
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
