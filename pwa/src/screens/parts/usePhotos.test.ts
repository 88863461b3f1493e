import { expect, test, vi } from "vitest";
import type { Mark } from "../../local/rows";
import { aPhoto } from "../../testing/phone";
import { prepareEach, withMarks, withPhoto } from "./usePhotos";

vi.mock("../../photo/prepare", async (original) => ({
  ...(await original<object>()),
  preparePhoto: async () => first,
}));

const first = { ...aPhoto(), sha256: "first" };
const second = { ...aPhoto(), sha256: "second" };
const marks: Mark[] = [
  {
    tool: "ring",
    points: [
      [0, 0],
      [1, 1],
    ],
  },
];

test("the same picture chosen twice is one photo, and keeps what was drawn on it", () => {
  const drawn = withMarks([first, second], { photo: second, marks });

  expect(withPhoto(drawn, second)).toEqual([first, { ...second, marks }]);
});

test("what was drawn on a photo that was taken out meanwhile goes with it", () => {
  expect(withMarks([first], { photo: second, marks })).toEqual([first]);
});

test("a photo is being made ready until it is kept", async () => {
  const keeping = Promise.withResolvers<void>();
  const end = vi.fn();

  const preparing = prepareEach([new Blob()], { onPhoto: () => keeping.promise }).then(end);
  await new Promise((done) => setTimeout(done, 20));
  expect(end).not.toHaveBeenCalled();
  keeping.resolve();
  await preparing;

  expect(end).toHaveBeenCalledWith("idle");
});
