/**
 * The picture itself: upright, small enough to send, without place or camera data (encoding anew
 * from pixels leaves them behind). Runs in a worker, and in the page where a worker cannot draw.
 */

/** Sync rules: at most 2,048 px; the list shows 320. */
const FULL_PX = 2_048;
const THUMB_PX = 320;
/** Visually the same as the camera's on a phone, at a quarter of its size. (P) */
const FULL_QUALITY = 0.82;
const THUMB_QUALITY = 0.75;

export type Picture = {
  full: Blob;
  thumb: Blob;
  sha256: string;
  width_px: number;
  height_px: number;
};
/** OffscreenCanvas in a worker, a canvas of the page elsewhere. */
export type DrawJpeg = (bitmap: ImageBitmap, quality: number) => Promise<Blob>;

export async function makePicture(file: Blob, draw: DrawJpeg): Promise<Picture> {
  // Decoded once, upright: the browser applies the camera's orientation.
  const whole = await createImageBitmap(file, { imageOrientation: "from-image" });
  const large = await shrinkAndClose(whole, FULL_PX);
  const { width: width_px, height: height_px } = large;
  const full = await draw(large, FULL_QUALITY);
  const small = await shrinkAndClose(large, THUMB_PX);
  const thumb = await draw(small, THUMB_QUALITY);
  small.close();
  return { full, thumb, sha256: await sha256Hex(full), width_px, height_px };
}

/** A camera's picture takes some 50 MB decoded: it is let go as soon as the smaller one is there. */
async function shrinkAndClose(bitmap: ImageBitmap, longest_px: number): Promise<ImageBitmap> {
  const scale = Math.min(1, longest_px / Math.max(bitmap.width, bitmap.height));
  try {
    return await createImageBitmap(bitmap, {
      resizeWidth: Math.max(1, Math.round(bitmap.width * scale)),
      resizeHeight: Math.max(1, Math.round(bitmap.height * scale)),
      resizeQuality: "high",
    });
  } finally {
    bitmap.close();
  }
}

export async function sha256Hex(blob: Blob): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
