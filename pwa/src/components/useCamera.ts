import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { type Camera, type CameraTrouble, openCamera } from "../photo/camera";

/** Runs the camera while the page is looked at, and lets go of it the moment it is not. */
export function useCamera(film: RefObject<HTMLVideoElement | null>) {
  const [camera, setCamera] = useState<Camera>();
  const [trouble, setTrouble] = useState<CameraTrouble>();
  const running = useRef<Camera | undefined>(undefined);
  const turn = useRef(0);
  const stop = () => {
    turn.current += 1;
    running.current?.stop();
    running.current = undefined;
    setCamera(undefined);
  };
  const start = async () => {
    stop();
    const mine = turn.current;
    const opened = await openCamera();
    if (mine !== turn.current) {
      // The person was quicker than the camera.
      if (opened.ok) opened.camera.stop();
      return;
    }
    setTrouble(opened.ok ? undefined : opened.trouble);
    if (opened.ok) {
      running.current = opened.camera;
      setCamera(opened.camera);
    }
  };
  useEffect(() => {
    const look = () => (document.hidden ? stop() : void start());
    document.addEventListener("visibilitychange", look);
    look();
    return () => {
      document.removeEventListener("visibilitychange", look);
      stop();
    };
  }, []);
  useEffect(() => {
    if (!film.current || !camera) return;
    film.current.srcObject = camera.stream;
    const lost = () => {
      stop();
      setTrouble("busy");
    };
    const [track] = camera.stream.getVideoTracks();
    track?.addEventListener("ended", lost);
    return () => track?.removeEventListener("ended", lost);
  }, [camera]);
  return { camera, trouble };
}
