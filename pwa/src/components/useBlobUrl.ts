import { useEffect, useState } from "preact/hooks";

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
