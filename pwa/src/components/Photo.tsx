import { useState } from "preact/hooks";
import { t } from "../text";
import { Icon } from "./Icon";
import { Sheet } from "./Sheet";

type Props = {
  /** Not there yet: the photo is still on another phone or on its way. */
  url: string | undefined;
  alt: string;
};

/** A thumbnail; the shape stays the same while the picture is on its way. */
export function Thumb({ url, alt }: Props) {
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
    </span>
  );
}

/** A thumbnail that opens the whole picture. `large` is asked for only then. */
type OpenProps = Props & {
  onOpen: () => void;
  /** "alt" when pressing does something else than opening, and alt says what. */
  named?: "open" | "alt";
};

export function Photo({ url, alt, onOpen, named = "open" }: OpenProps) {
  const name = named === "open" ? t("photo.open", { alt }) : alt;
  return (
    <button type="button" class="photo" aria-label={name} onClick={onOpen}>
      {url ? <img src={url} alt="" /> : <Icon name="camera" />}
    </button>
  );
}

export function PhotoView({ url, alt, onClose }: Props & { onClose: () => void }) {
  const [broken, setBroken] = useState(false);
  return (
    <Sheet title={alt} onClose={onClose}>
      {url && !broken ? (
        <img class="photo-large" src={url} alt={alt} onError={() => setBroken(true)} />
      ) : (
        <p>{t("photo.not_here")}</p>
      )}
    </Sheet>
  );
}
