import { afterEach, expect, test, vi } from "vitest";
import { hasCamera, openCamera, shoot, troubleOf } from "./camera";

const still = new Blob(["a still"]);
const frame = new Blob(["a frame"]);

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test("the camera's own still is taken where the browser has it, else a frame of its film", async () => {
  const own = await shoot({ still: { takePhoto: async () => still }, frame: async () => frame });
  const none = await shoot({ still: undefined, frame: async () => frame });

  expect([own, none]).toEqual([still, frame]);
});

test("a camera that fails or never answers still gives a photo", async () => {
  vi.useFakeTimers();
  const failing = { takePhoto: () => Promise.reject(new Error("UnknownError")) };
  const silent = { takePhoto: () => new Promise<Blob>(() => {}) };

  const failed = await shoot({ still: failing, frame: async () => frame });
  const waiting = shoot({ still: silent, frame: async () => frame });
  await vi.advanceTimersByTimeAsync(5_000);

  expect([failed, await waiting]).toEqual([frame, frame]);
});

test("each way in which there is no camera has its own words", () => {
  const told = ["NotAllowedError", "SecurityError", "NotFoundError", "NotReadableError"].map(
    (name) => troubleOf({ name }),
  );

  expect(told).toEqual(["refused", "refused", "none", "busy"]);
  expect(troubleOf(undefined)).toBe("busy");
});

function aStream(able: object) {
  const track = { getCapabilities: () => able, applyConstraints: vi.fn(), stop: vi.fn() };
  const stream = { getVideoTracks: () => [track], getTracks: () => [track] };
  vi.stubGlobal("navigator", { mediaDevices: { getUserMedia: async () => stream } });
  return track;
}

test("the light is offered only where the camera has one, and goes out with the camera", async () => {
  const track = aStream({ torch: true });

  const opened = await openCamera();

  expect(hasCamera()).toBe(true);
  expect(opened).toMatchObject({ ok: true, camera: { hasTorch: true } });
  if (opened.ok) {
    await opened.camera.setTorch("on");
    opened.camera.stop();
  }
  expect(track.applyConstraints).toHaveBeenCalledWith({ advanced: [{ torch: true }] });
  expect(track.stop).toHaveBeenCalledOnce();
  aStream({});
  expect(await openCamera()).toMatchObject({ ok: true, camera: { hasTorch: false } });
});

test("a page that came over a line that is not secure has no camera of its own", () => {
  vi.stubGlobal("navigator", {});

  expect(hasCamera()).toBe(false);
});
