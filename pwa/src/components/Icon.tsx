/** Our own drawings, on a 24 by 24 grid, stroked in the colour of the text. */

const DRAWINGS = {
  back: "M15 4 7 12l8 8",
  forward: "m9 4 8 8-8 8",
  close: "M5 5l14 14M19 5 5 19",
  plus: "M12 4v16M4 12h16",
  search: "M16.5 16.5 21 21M10.5 18a7.5 7.5 0 1 1 0-15 7.5 7.5 0 0 1 0 15Z",
  camera:
    "M3 8.5A2.5 2.5 0 0 1 5.5 6H8l1.6-2.5h4.8L16 6h2.5A2.5 2.5 0 0 1 21 8.5v9a2.5 2.5 0 0 1-2.5 2.5h-13A2.5 2.5 0 0 1 3 17.5Zm9 8.5a4 4 0 1 0 0-8 4 4 0 0 0 0 8Z",
  pictures: "M3 5h18v14H3Zm0 11 5.5-5.5L15 17m-1.5-1.5 3-3L21 17M16.5 9.2v.1",
  person: "M12 12a4 4 0 1 0 0-8 4 4 0 0 0 0 8ZM4.5 21a7.5 7.5 0 0 1 15 0",
  caution: "M12 4 2.5 20h19Zm0 6v4.5m0 2.6v.1",
  torch: "M8 3h8v4l-2.5 4v9h-3v-9L8 7Zm0 4h8",
  undo: "M9 5 4 10l5 5M4 10h10a5 5 0 0 1 0 10h-3",
  pencil: "m4 20 1-4.5 11-11L19.5 8l-11 11Z",
  arrow: "M5 19 19 5m-9 0h9v9",
  ring: "M12 19c5 0 9-3 9-7s-4-7-9-7-9 3-9 7 4 7 9 7Z",
  line: "M3 15c3-8 6-8 7-2s5 5 11-4",
  repeat: "M4 12a8 8 0 1 1 2.6 5.9M4 20v-5h5",
  /** A flare nut seen along the pipe: a hexagon with a round bore. */
  nut: "M12 2.5 20.2 7.25v9.5L12 21.5 3.8 16.75v-9.5Zm0 13.7a4.2 4.2 0 1 0 0-8.4 4.2 4.2 0 0 0 0 8.4Z",
} as const;

export type IconName = keyof typeof DRAWINGS;

export function Icon({ name, size = 26 }: { name: IconName; size?: number }) {
  return (
    <svg aria-hidden="true" width={size} height={size} viewBox="0 0 24 24">
      <path
        d={DRAWINGS[name]}
        fill="none"
        stroke="currentColor"
        stroke-width="2.2"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </svg>
  );
}
