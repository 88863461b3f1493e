import type { RefObject } from "preact";
import { useRef, useState } from "preact/hooks";
import type { Camera } from "../photo/camera";

type Props = {
  camera: Camera | undefined;
  film: RefObject<HTMLVideoElement | null>;
  onPicture: (file: Blob) => void;
};

/** One photo at a time. `settled` waits for the one being taken: leaving must not lose it. */
export function useShutter({ camera, film, onPicture }: Props) {
  const [state, setState] = useState<"idle" | "shooting" | "failed">("idle");
  const running = useRef<Promise<void> | undefined>(undefined);
  const take = async (shown: HTMLVideoElement, own: Camera) => {
    setState("shooting");
    try {
      onPicture(await own.shoot(shown));
      setState("idle");
    } catch {
      // Whatever the camera said, no picture came: that is told, and it can be pressed again.
      setState("failed");
    }
    running.current = undefined;
  };
  const shoot = () => {
    if (camera && film.current && !running.current) {
      running.current = take(film.current, camera);
    }
  };
  return { state, shoot, settled: async () => await running.current };
}
