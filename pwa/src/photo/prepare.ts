/** Makes a photo ready to be saved: before the transaction opens, since an await would end it. */
import type { DraftPhoto } from "../local/records";
import { startWorker } from "../offline/trusted";
import type { Asked, Told } from "./photo.worker";
import workerUrl from "./photo.worker?worker&url";
import { makePicture, type Picture } from "./picture";

/** What is drawn on it before it is saved leaves the pictures as they are. */
export type PreparedPhoto = DraftPhoto & {
  /** JPEG of at most 2,048 px, upright, without place or camera data. */
  full: Blob;
  /** JPEG of at most 320 px. */
  thumb: Blob;
};

/** Thrown by preparePhoto. */
export class PhotoProblem extends Error {
  readonly code: "not_an_image" | "too_large";

  constructor(code: "not_an_image" | "too_large") {
    super(code);
    this.name = "PhotoProblem";
    this.code = code;
  }
}

/** Larger than any phone's photo; a film picked by mistake must not fill the memory. (P) */
const LARGEST_FILE_BYTES = 60_000_000;

/** A 12 MP photo takes a quarter of a second on a desk, a few on a slow phone (measured). */
const SILENT_WORKER_MS = 20_000;

/** The worker is kept: the second photo of a round should not wait for it again. */
let worker: Worker | null = null;
let asked = 0;

export async function preparePhoto(file: Blob): Promise<PreparedPhoto> {
  if (file.size > LARGEST_FILE_BYTES) {
    throw new PhotoProblem("too_large");
  }
  const told = await askWorker(file);
  if (told.ok) {
    return prepared(told.picture);
  }
  if (told.why === "cannot_draw") {
    return prepared(await drawHere(file));
  }
  throw new PhotoProblem("not_an_image");
}

function prepared(picture: Picture): PreparedPhoto {
  return {
    ...picture,
    size_bytes: picture.full.size,
    taken_at: new Date().toISOString(),
  };
}

async function askWorker(file: Blob): Promise<Told> {
  worker ??= startWorker(workerUrl);
  const here = worker;
  asked += 1;
  const id = asked;
  return await new Promise<Told>((resolve) => {
    const done = (told: Told) => {
      here.removeEventListener("message", listen);
      here.removeEventListener("error", fail);
      clearTimeout(patience);
      resolve(told);
    };
    const listen = (event: MessageEvent<Told>) => {
      if (event.data.id === id) {
        done(event.data);
      }
    };
    // A worker that does not start is no reason to lose the photo.
    const fail = () => {
      worker = null;
      done({ id, ok: false, why: "cannot_draw" });
    };
    // Nor is one that was stopped for want of memory and says nothing.
    const patience = setTimeout(fail, SILENT_WORKER_MS);
    here.addEventListener("message", listen);
    here.addEventListener("error", fail);
    const message: Asked = { id, file };
    here.postMessage(message);
  });
}

async function drawHere(file: Blob): Promise<Picture> {
  try {
    return await makePicture(file, drawOnPage);
  } catch {
    throw new PhotoProblem("not_an_image");
  }
}

async function drawOnPage(bitmap: ImageBitmap, quality: number): Promise<Blob> {
  const canvas = document.createElement("canvas");
  canvas.width = bitmap.width;
  canvas.height = bitmap.height;
  canvas.getContext("2d", { alpha: false })?.drawImage(bitmap, 0, 0);
  return await new Promise((resolve, reject) => {
    const take = (blob: Blob | null) => (blob ? resolve(blob) : reject(new Error("not drawn")));
    canvas.toBlob(take, "image/jpeg", quality);
  });
}
