import type { RefObject } from "preact";
import { useRef, useState } from "preact/hooks";
import type { Camera } from "../photo/camera";

type Props = {
  camera: Camera | undefined;
  film: RefObject<HTMLVideoElement | null>;
  onPicture: (file: Blob) => void;
};

/**
 * One photo at a time. `settled` waits for the one being taken, and says whether it came: leaving must neither lose
 * it nor hide that there is none.
 */
export function useShutter({ camera, film, onPicture }: Props) {
  const [state, setState] = useState<"idle" | "shooting" | "failed">("idle");
  const running = useRef<Promise<boolean> | undefined>(undefined);
  const take = async (shown: HTMLVideoElement, own: Camera) => {
    setState("shooting");
    const picture = await own.shoot(shown).catch(() => undefined);
    // Whatever the camera said, no picture came: that is told, and it can be pressed again.
    setState(picture ? "idle" : "failed");
    if (picture) onPicture(picture);
    running.current = undefined;
    return picture !== undefined;
  };
  const shoot = () => {
    if (camera && film.current && !running.current) {
      running.current = take(film.current, camera);
    }
  };
  return { state, shoot, settled: async () => (await running.current) ?? true };
}
