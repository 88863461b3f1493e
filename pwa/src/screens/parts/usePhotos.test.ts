import { expect, test } from "vitest";
import type { Mark } from "../../local/rows";
import { aPhoto } from "../../testing/phone";
import { withMarks, withPhoto } from "./usePhotos";

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
