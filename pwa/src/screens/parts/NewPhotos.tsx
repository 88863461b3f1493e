import { useEffect, useState } from "preact/hooks";
import { FilePick } from "../../components/FilePick";
import { Notice } from "../../components/Notice";
import { Photo } from "../../components/Photo";
import { closeCapture, openCapture, openIntent } from "../../photo/capture";
import type { PreparedPhoto } from "../../photo/prepare";
import { t } from "../../text";
import { useBlobUrl, usePreparing, withPhoto } from "./usePhotos";

type StripProps = { photos: PreparedPhoto[]; onRemove: (photo: PreparedPhoto) => void };

function New({
  photo,
  number,
  onRemove,
}: {
  photo: PreparedPhoto;
  number: number;
  onRemove: () => void;
}) {
  const url = useBlobUrl(photo.thumb);
  return (
    <div class="new-photo">
      <Photo url={url} alt={t("photo.remove", { number })} onOpen={onRemove} named="alt" />
      <span class="new-photo-remove" aria-hidden="true">
        ×
      </span>
    </div>
  );
}

/** Photos taken and not yet saved; pressing one takes it out again. */
export function NewPhotoStrip({ photos, onRemove }: StripProps) {
  if (photos.length === 0) return null;
  return (
    <div class="photo-strip">
      {photos.map((photo, index) => (
        <New key={photo.sha256} photo={photo} number={index + 1} onRemove={() => onRemove(photo)} />
      ))}
    </div>
  );
}

type ButtonsProps = {
  path: string;
  draftKey: string;
  onPhoto: (photo: PreparedPhoto) => void;
  /** While a photo is made ready, what it belongs to must not be saved without it. */
  onWorking?: (is: boolean) => void;
};

/** After the app was ended behind the camera: said once, on the screen that had opened it. */
function useLostPhoto(draftKey: string): boolean {
  const [lost, setLost] = useState(false);
  useEffect(() => {
    openIntent().then((intent) => {
      if (intent?.draft_key !== draftKey) return;
      setLost(true);
      void closeCapture();
    });
  }, [draftKey]);
  return lost;
}

function Told({ words, kind }: { words: string; kind: "plain" | "bad" }) {
  return (
    <Notice kind={kind} urgency={kind === "bad" ? "now" : "calm"}>
      {words}
    </Notice>
  );
}

/**
 * Camera and gallery. The intent is written down before either opens: Android may
 * end the app behind them, and then the start leads back here with what was typed.
 */
export function PhotoButtons({ path, draftKey, onPhoto, onWorking }: ButtonsProps) {
  const { state, take } = usePreparing({ onPhoto });
  const [room, setRoom] = useState<"enough" | "none">("enough");
  const lost = useLostPhoto(draftKey);
  useEffect(() => onWorking?.(state === "working"), [state]);
  const open = async () => {
    const isRoom = await openCapture({ path, draftKey });
    setRoom(isRoom ? "enough" : "none");
    return isRoom;
  };
  const receive = (files: File[]) => {
    void closeCapture();
    void take(files);
  };
  const shared = { accept: "image/*", onOpen: open, onCancel: closeCapture, onFiles: receive };
  return (
    <>
      {lost && state === "idle" && <Told kind="plain" words={t("photo.lost")} />}
      {room === "none" && <Told kind="bad" words={t("photo.no_room")} />}
      {state === "working" && !onWorking && <Told kind="plain" words={t("photo.working")} />}
      {state === "failed" && <Told kind="bad" words={t("photo.failed")} />}
      <div class="actions">
        <FilePick label={t("photo.camera")} icon="camera" from="camera" {...shared} />
        <FilePick label={t("photo.gallery")} icon="pictures" from="files" {...shared} />
      </div>
    </>
  );
}

type OfDraft = Omit<ButtonsProps, "onPhoto"> & {
  photos: PreparedPhoto[];
  onChange: (change: (now: { photos: PreparedPhoto[] }) => { photos: PreparedPhoto[] }) => void;
};

/** The photos of a draft, with the buttons that add to them. */
export function NewPhotos({ photos, onChange, ...buttons }: OfDraft) {
  return (
    <>
      <NewPhotoStrip
        photos={photos}
        onRemove={(photo) =>
          onChange((now) => ({ photos: now.photos.filter((one) => one !== photo) }))
        }
      />
      <PhotoButtons
        {...buttons}
        onPhoto={(photo) => onChange((now) => ({ photos: withPhoto(now.photos, photo) }))}
      />
    </>
  );
}
