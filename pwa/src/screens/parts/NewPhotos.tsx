import { useEffect, useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { FilePick } from "../../components/FilePick";
import { Notice } from "../../components/Notice";
import { hasCamera } from "../../photo/camera";
import {
  closeCapture,
  forgetCapture,
  openCapture,
  openIntent,
  stayInCapture,
} from "../../photo/capture";
import type { PreparedPhoto } from "../../photo/prepare";
import { t } from "../../text";
import { Camera } from "./Camera";
import { type ChangePhotos, NewPhotoStrip } from "./NewPhotoStrip";
import { useChunk } from "./useChunk";
import { type Drawn, type OnPhoto, usePreparing, withMarks, withPhoto } from "./usePhotos";

type ButtonsProps = {
  path: string;
  draftKey: string;
  onPhoto: OnPhoto;
  /** Where photos are not saved at once, they can be drawn on while the camera is open. */
  onDrawn?: (drawn: Drawn) => void;
  /** While a photo is made ready and kept, what it belongs to must not be saved without it. */
  onWorking?: (is: boolean) => void;
  /** Whether what was taken could be kept: said in the camera too, where the next one is taken. */
  room?: "kept" | "full";
};

/** After the app was ended behind the camera: said once, on the screen that had opened it. */
function useLostPhoto(draftKey: string): boolean {
  const [lost, setLost] = useState(false);
  useEffect(() => {
    openIntent().then((intent) => {
      if (intent?.draft_key !== draftKey) return;
      setLost(true);
      void forgetCapture(intent);
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

/** The photos of one opening of the camera, which the person sees there one by one. */
function useTaking({ onPhoto, onDrawn }: Pick<ButtonsProps, "onPhoto" | "onDrawn">) {
  const [taken, setTaken] = useState<PreparedPhoto[]>([]);
  const preparing = usePreparing({
    onPhoto: async (photo) => {
      await onPhoto(photo);
      setTaken((now) => withPhoto(now, photo));
    },
  });
  const drawn = (what: Drawn) => {
    setTaken((now) => withMarks(now, what));
    onDrawn?.(what);
  };
  return { ...preparing, taken, drawn, forget: () => setTaken([]) };
}

/** Nothing is opened on a phone without room, or before it is written down where to come back to. */
function useRoom({ path, draftKey }: Pick<ButtonsProps, "path" | "draftKey">) {
  const [room, setRoom] = useState<"enough" | "none">("enough");
  const tell = (isRoom: boolean) => {
    setRoom(isRoom ? "enough" : "none");
    return isRoom;
  };
  return {
    told: room === "none" ? t("photo.no_room") : undefined,
    open: async () => tell(await openCapture({ path, draftKey })),
    look: async () => tell(await stayInCapture()),
  };
}

/** Fetched before it is pressed; where it cannot be had, the phone's own camera takes its place. */
function useCameraPart() {
  const start = hasCamera() ? "shut" : "missing";
  const [camera, setCamera] = useState<"shut" | "open" | "missing">(start);
  const View = useChunk(() => import("../../components/CameraView"), {
    isWanted: camera !== "missing",
    onFailed: () => setCamera("missing"),
  });
  return { camera, View, setCamera };
}

/**
 * Camera and gallery. The intent is written down before either opens: Android may
 * end the app behind them, and then the start leads back here with what was typed.
 */
export function PhotoButtons({ path, draftKey, onPhoto, onDrawn, ...more }: ButtonsProps) {
  const { onWorking, room: kept = "kept" } = more;
  const { state, take, ...taking } = useTaking({ onPhoto, ...(onDrawn ? { onDrawn } : {}) });
  const { camera, View, setCamera } = useCameraPart();
  const room = useRoom({ path, draftKey });
  const lost = useLostPhoto(draftKey);
  useEffect(() => onWorking?.(state === "working"), [state]);
  const open = async () => {
    taking.forget();
    if (await room.open()) setCamera("open");
  };
  const shut = () => {
    setCamera((now) => (now === "open" ? "shut" : now));
    void closeCapture();
  };
  const receive = (files: File[]) => {
    shut();
    void take(files);
  };
  const receiveOne = (file: Blob) => {
    void take([file]);
    void room.look();
  };
  const isFull = kept === "full";
  const notYet = isFull ? t("photo.no_room_yet") : undefined;
  const full = isFull ? t("common.draft_full") : room.told;
  const told = full ?? (state === "failed" ? t("photo.failed") : undefined);
  const files = { onOpen: room.open, onCancel: closeCapture, onFiles: receive };
  const picker = { accept: "image/*", notYet, ...files };
  return (
    <>
      {lost && state === "idle" && <Told kind="plain" words={t("photo.lost")} />}
      {told && <Told kind="bad" words={told} />}
      {state === "working" && !onWorking && <Told kind="plain" words={t("photo.working")} />}
      <div class="actions">
        {camera === "missing" ? (
          <FilePick label={t("photo.camera")} icon="camera" from="camera" {...picker} />
        ) : (
          <Button icon="camera" notYet={notYet} onPress={() => void open()}>
            {t("photo.camera")}
          </Button>
        )}
        <FilePick label={t("photo.gallery")} icon="pictures" from="files" {...picker} />
      </div>
      {camera === "open" && View && (
        <Camera
          View={View}
          taken={taking.taken}
          told={told}
          isFull={isFull}
          onPicture={receiveOne}
          onFiles={receive}
          onDrawn={onDrawn && taking.drawn}
          onClose={shut}
        />
      )}
    </>
  );
}

type OfDraft = Omit<ButtonsProps, "onPhoto" | "onDrawn"> & {
  photos: PreparedPhoto[];
  onChange: ChangePhotos;
};

/** The photos of a draft, with the buttons that add to them. */
export function NewPhotos({ photos, onChange, ...buttons }: OfDraft) {
  return (
    <>
      <NewPhotoStrip photos={photos} onChange={onChange} />
      <PhotoButtons {...buttons} {...intoDraft(onChange)} />
    </>
  );
}

/** A new photo, and what is drawn on one, go into the draft as it is at that moment. */
export function intoDraft(onChange: ChangePhotos) {
  return {
    onPhoto: (photo: PreparedPhoto) =>
      onChange((now) => ({ photos: withPhoto(now.photos, photo) })),
    onDrawn: (drawn: Drawn) => onChange((now) => ({ photos: withMarks(now.photos, drawn) })),
  };
}
