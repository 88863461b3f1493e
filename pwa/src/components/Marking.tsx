import { useState } from "preact/hooks";
import type { Mark, MarkTool } from "../local/rows";
import { MOST_MARKS } from "../photo/marks";
import { t } from "../text";
import { Button } from "./Button";
import { FullSheet } from "./FullSheet";
import { Icon } from "./Icon";
import { type Marked, MarkPath, Marks } from "./Marks";
import { useDrawing } from "./useDrawing";
import "./marking.css";

export type MarkingProps = {
  url: string | undefined;
  /** The picture's size, with the marks that are saved on it: they stay. */
  photo: Marked;
  /** Drawn before and not saved yet. */
  drawn: Mark[];
  done: string;
  /** All that is drawn by now, after each stroke, each that was taken back, and when it is cancelled. */
  onDrawn: (marks: Mark[]) => void;
  /** Pressed when the drawing is finished. */
  onDone: () => void;
  /** Left without finishing. */
  onClose: () => void;
};

const TOOLS: MarkTool[] = ["arrow", "ring", "line"];

type ToolsProps = { tool: MarkTool; onTool: (tool: MarkTool) => void };

function Tools({ tool, onTool }: ToolsProps) {
  return (
    <fieldset class="marking-tools" aria-label={t("marks.tools")}>
      {TOOLS.map((one) => (
        <button
          key={one}
          type="button"
          class="button"
          aria-pressed={one === tool}
          onClick={() => onTool(one)}
        >
          <Icon name={one} />
          <span>{t(`marks.${one}`)}</span>
        </button>
      ))}
    </fieldset>
  );
}

/** Point at what is wrong: an arrow, a ring or a line over the picture, which stays as it is. */
export default function Marking({ url, photo, done, onDone, onClose, ...more }: MarkingProps) {
  const [before] = useState(more.drawn);
  const [marks, setMarks] = useState(before);
  const keep = (drawn: Mark[]) => {
    setMarks(drawn);
    more.onDrawn(drawn);
  };
  const cancel = () => {
    more.onDrawn(before);
    onClose();
  };
  const [tool, setTool] = useState<MarkTool>("arrow");
  const isFull = (photo.marks?.length ?? 0) + marks.length >= MOST_MARKS;
  const { shown, hands } = useDrawing({
    tool,
    size: photo,
    onMark: (mark) => !isFull && keep([...marks, mark]),
  });
  const all = shown && !isFull ? [...marks, shown] : marks;
  return (
    <FullSheet name={t("marks.title")} onClose={onClose}>
      <p class="full-sheet-words" role="status">
        {t(isFull ? "marks.full" : "marks.hint")}
      </p>
      <div class="full-sheet-picture">
        <img src={url} alt="" draggable={false} />
        <Marks photo={photo} fit="contain" />
        <svg
          class="marks marking-sheet"
          role="img"
          aria-label={t("marks.count", { count: (photo.marks?.length ?? 0) + marks.length })}
          viewBox={`0 0 ${photo.width_px} ${photo.height_px}`}
          {...hands}
        >
          {all.map((mark, index) => (
            <MarkPath key={`${mark.tool}-${index}`} mark={mark} size={photo} />
          ))}
        </svg>
      </div>
      <div class="full-sheet-bottom">
        <Tools tool={tool} onTool={setTool} />
        <Button
          icon="undo"
          notYet={marks.length === 0 ? t("marks.nothing_yet") : undefined}
          onPress={() => keep(marks.slice(0, -1))}
        >
          {t("marks.undo")}
        </Button>
        <div class="marking-ends">
          <Button onPress={cancel}>{t("common.cancel")}</Button>
          <Button kind="primary" onPress={onDone}>
            {done}
          </Button>
        </div>
      </div>
    </FullSheet>
  );
}
