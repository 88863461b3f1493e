import { useRef, useState } from "preact/hooks";
import type { Mark, MarkTool, Share } from "../local/rows";
import { markFrom, type Size, shareAt } from "../photo/marks";

type Props = { tool: MarkTool; size: Size; onMark: (mark: Mark) => void };

/** Where a finger is on the drawing, in pixels of the picture, however it is fitted on the screen. */
function placeOf(event: PointerEvent, size: Size): Share {
  const drawing = event.currentTarget as SVGSVGElement;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(
    drawing.getScreenCTM()?.inverse(),
  );
  return shareAt({ x, y }, size);
}

/** One finger draws one mark; a second finger, such as the palm's edge, draws none. */
export function useDrawing({ tool, size, onMark }: Props) {
  const path = useRef<Share[]>([]);
  const [shown, setShown] = useState<Mark>();
  const stop = () => {
    path.current = [];
    setShown(undefined);
  };
  const hands = {
    onPointerDown: (event: PointerEvent) => {
      if (!event.isPrimary || event.button !== 0) return;
      (event.currentTarget as Element).setPointerCapture(event.pointerId);
      path.current = [placeOf(event, size)];
    },
    onPointerMove: (event: PointerEvent) => {
      if (!event.isPrimary || path.current.length === 0) return;
      path.current.push(placeOf(event, size));
      setShown(markFrom(path.current, { tool, size }));
    },
    onPointerUp: (event: PointerEvent) => {
      if (!event.isPrimary) return;
      const mark = markFrom(path.current, { tool, size });
      stop();
      if (mark) onMark(mark);
    },
    onPointerCancel: stop,
  };
  return { shown, hands };
}
