import { useState } from "preact/hooks";
import { t } from "../text";
import { Button } from "./Button";
import { Icon } from "./Icon";
import { type Marked, Marks } from "./Marks";
import { Sheet } from "./Sheet";

type Props = {
  /** Not there yet: the photo is still on another phone or on its way. */
  url: string | undefined;
  alt: string;
  /** Its size and what is drawn on it. */
  marked: Marked;
};

/** A thumbnail; the shape stays the same while the picture is on its way. */
export function Thumb({ url, alt, marked }: Props) {
  if (!url) {
    return (
      <span class="photo photo-none">
        <Icon name="camera" />
        <span class="spoken">{t("photo.not_here")}</span>
      </span>
    );
  }
  return (
    <span class="photo">
      <img src={url} alt={alt} />
      <Marks photo={marked} fit="cover" />
    </span>
  );
}

/** A thumbnail that opens the whole picture. `large` is asked for only then. */
type OpenProps = Props & {
  onOpen: () => void;
  /** "alt" when pressing does something else than opening, and alt says what. */
  named?: "open" | "alt";
};

export function Photo({ url, alt, marked, onOpen, named = "open" }: OpenProps) {
  const name = named === "open" ? t("photo.open", { alt }) : alt;
  return (
    <button type="button" class="photo" aria-label={name} onClick={onOpen}>
      {url ? <img src={url} alt="" /> : <Icon name="camera" />}
      {url && <Marks photo={marked} fit="cover" />}
    </button>
  );
}

/** What may be done with an open photo; a contractor may only look. */
type ViewProps = Props & { onDraw?: (() => void) | undefined; onClose: () => void };

export function PhotoView({ url, alt, marked, onDraw, onClose }: ViewProps) {
  const [broken, setBroken] = useState(false);
  const [marks, setMarks] = useState<"shown" | "hidden">("shown");
  const isSeen = url !== undefined && !broken;
  const buttons = isSeen && (
    <ViewButtons marks={marked.marks?.length ? marks : "none"} onMarks={setMarks} onDraw={onDraw} />
  );
  return (
    <Sheet title={alt} onClose={onClose} bottom={buttons}>
      {isSeen ? (
        <div class="photo-whole">
          <img class="photo-large" src={url} alt={alt} onError={() => setBroken(true)} />
          {marks === "shown" && <Marks photo={marked} fit="contain" />}
        </div>
      ) : (
        <p>{t("photo.not_here")}</p>
      )}
    </Sheet>
  );
}

type ButtonsProps = {
  marks: "shown" | "hidden" | "none";
  onMarks: (marks: "shown" | "hidden") => void;
  onDraw: ViewProps["onDraw"];
};

/** A mark may cover what somebody wants to see: it can be taken off, for looking. */
function ViewButtons({ marks, onMarks, onDraw }: ButtonsProps) {
  if (marks === "none" && !onDraw) return null;
  return (
    <div class="actions">
      {marks !== "none" && (
        <Button onPress={() => onMarks(marks === "shown" ? "hidden" : "shown")}>
          {t(marks === "shown" ? "photo.marks_hide" : "photo.marks_show")}
        </Button>
      )}
      {onDraw && (
        <Button icon="pencil" onPress={onDraw}>
          {t("photo.draw")}
        </Button>
      )}
    </div>
  );
}
