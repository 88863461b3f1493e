/** Resizes photos off the page's own thread, so that the screen never stops while one is made. */
import { makePicture, type Picture } from "./picture";

export type Asked = { id: number; file: Blob };
export type Told =
  | { id: number; ok: true; picture: Picture }
  /** This browser cannot draw in a worker: the page does it. */
  | { id: number; ok: false; why: "cannot_draw" | "not_an_image" };

async function draw(bitmap: ImageBitmap, quality: number): Promise<Blob> {
  const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
  const context = canvas.getContext("2d", { alpha: false });
  if (!context) {
    throw new Error("no 2d context");
  }
  context.drawImage(bitmap, 0, 0);
  return await canvas.convertToBlob({ type: "image/jpeg", quality });
}

async function answer({ id, file }: Asked): Promise<Told> {
  if (typeof OffscreenCanvas === "undefined") {
    return { id, ok: false, why: "cannot_draw" };
  }
  try {
    const picture = await makePicture(file, draw);
    const isJpeg = picture.full.type === "image/jpeg";
    return isJpeg ? { id, ok: true, picture } : { id, ok: false, why: "cannot_draw" };
  } catch {
    // Whatever it was, it could not be decoded as a picture here.
    return { id, ok: false, why: "not_an_image" };
  }
}

addEventListener("message", (event: MessageEvent<Asked>) => {
  void answer(event.data).then((told) => postMessage(told));
});
