import type { Mark } from "../local/rows";
import { pathOf, type Size } from "../photo/marks";

export type Marked = Size & { marks?: Mark[] };

/** One mark: a bright core in a dark edge, so that it is seen on white lagging and in a dark void. */
export function MarkPath({ mark, size }: { mark: Mark; size: Size }) {
  const path = pathOf(mark, size);
  return (
    <>
      <path class="mark-edge" d={path} />
      <path class="mark-core" d={path} />
    </>
  );
}

type Props = {
  photo: Marked;
  /** As the picture beneath it is fitted: a thumbnail is cut, a whole picture is not. */
  fit: "cover" | "contain";
};

/** What was drawn on a photo, over the picture. Whoever listens is told by the photo's name. */
export function Marks({ photo, fit }: Props) {
  const { marks, width_px, height_px } = photo;
  if (!marks?.length) return null;
  return (
    <svg
      class="marks"
      aria-hidden="true"
      viewBox={`0 0 ${width_px} ${height_px}`}
      preserveAspectRatio={fit === "cover" ? "xMidYMid slice" : "xMidYMid meet"}
    >
      {marks.map((mark, index) => (
        <MarkPath key={`${mark.tool}-${index}`} mark={mark} size={photo} />
      ))}
    </svg>
  );
}
