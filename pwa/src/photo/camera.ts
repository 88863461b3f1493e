/**
 * The phone's camera within the page. The page is never left, so Android has no reason to end it.
 * Works with no signal; where the person or the browser says no, the trouble is named and the
 * phone's own camera app takes over.
 */

export type CameraTrouble = "refused" | "none" | "busy";
export type Camera = {
  stream: MediaStream;
  hasTorch: boolean;
  setTorch: (light: "on" | "off") => Promise<void>;
  shoot: (shown: HTMLVideoElement) => Promise<Blob>;
  stop: () => void;
};
export type Opened = { ok: true; camera: Camera } | { ok: false; trouble: CameraTrouble };

/** Missing where the page did not come over a secure line. */
export function hasCamera(): boolean {
  return globalThis.navigator?.mediaDevices?.getUserMedia !== undefined;
}

/** The camera that looks away from the person, as large as a photo is kept; any other will do. */
const WANTED: MediaStreamConstraints = {
  audio: false,
  video: { facingMode: { ideal: "environment" }, width: { ideal: 2048 }, height: { ideal: 1536 } },
};

/** Some cameras never answer when asked for a still; then what is on the screen is the photo. (P) */
const SILENT_CAMERA_MS = 4_000;
/** A frame is encoded once more when it is made small: little may be lost here. (P) */
const FRAME_QUALITY = 0.95;

export async function openCamera(): Promise<Opened> {
  try {
    const stream = await navigator.mediaDevices.getUserMedia(WANTED);
    const [track] = stream.getVideoTracks();
    return track
      ? { ok: true, camera: cameraOf(stream, { track }) }
      : { ok: false, trouble: "none" };
  } catch (problem) {
    return { ok: false, trouble: troubleOf(problem) };
  }
}

/** Names of the errors: W3C Media Capture and Streams, getUserMedia. */
export function troubleOf(problem: unknown): CameraTrouble {
  const name = problem instanceof Object ? Reflect.get(problem, "name") : "";
  if (name === "NotAllowedError" || name === "SecurityError") {
    return "refused";
  }
  return name === "NotFoundError" || name === "OverconstrainedError" ? "none" : "busy";
}

/** What TypeScript's library does not know yet: W3C MediaStream Image Capture. */
type StillCamera = { takePhoto: () => Promise<Blob> };
type StillCameraClass = new (track: MediaStreamTrack) => StillCamera;

function cameraOf(stream: MediaStream, { track }: { track: MediaStreamTrack }): Camera {
  const Still = Reflect.get(globalThis, "ImageCapture") as StillCameraClass | undefined;
  const still = Still && new Still(track);
  const able = track.getCapabilities?.() as { torch?: boolean } | undefined;
  return {
    stream,
    hasTorch: able?.torch === true,
    setTorch: async (light) => {
      const advanced = [{ torch: light === "on" } as MediaTrackConstraintSet];
      await track.applyConstraints({ advanced });
    },
    shoot: (shown) => shoot({ still, frame: () => frameOf(shown) }),
    stop: () => {
      for (const one of stream.getTracks()) {
        one.stop();
      }
    },
  };
}

type Shot = { still: StillCamera | undefined; frame: () => Promise<Blob> };

/** The camera's own still is sharper than a frame of its film; a frame is better than no photo. */
export async function shoot({ still, frame }: Shot): Promise<Blob> {
  if (!still) {
    return await frame();
  }
  try {
    return await inTime(still.takePhoto());
  } catch {
    return await frame();
  }
}

async function inTime<T>(answer: Promise<T>): Promise<T> {
  let patience: ReturnType<typeof setTimeout> | undefined;
  const silent = new Promise<never>((_, reject) => {
    patience = setTimeout(() => reject(new Error("the camera is silent")), SILENT_CAMERA_MS);
  });
  try {
    return await Promise.race([answer, silent]);
  } finally {
    clearTimeout(patience);
  }
}

/** A camera that has just been opened shows nothing for a moment. */
async function firstFrame(shown: HTMLVideoElement): Promise<void> {
  if (shown.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) {
    await inTime(new Promise((come) => shown.addEventListener("loadeddata", come, { once: true })));
  }
}

async function frameOf(shown: HTMLVideoElement): Promise<Blob> {
  await firstFrame(shown);
  const canvas = document.createElement("canvas");
  canvas.width = shown.videoWidth;
  canvas.height = shown.videoHeight;
  canvas.getContext("2d", { alpha: false })?.drawImage(shown, 0, 0);
  return await new Promise((resolve, reject) => {
    const take = (blob: Blob | null) => (blob ? resolve(blob) : reject(new Error("no frame yet")));
    canvas.toBlob(take, "image/jpeg", FRAME_QUALITY);
  });
}
