import { useRef } from "preact/hooks";
import type { PreparedPhoto } from "../photo/prepare";
import { t } from "../text";
import { Button } from "./Button";
import { FilePick } from "./FilePick";
import { FullSheet } from "./FullSheet";
import { Photo, Thumb } from "./Photo";
import { Torch } from "./Torch";
import { useBlobUrl } from "./useBlobUrl";
import { useCamera } from "./useCamera";
import { useShutter } from "./useShutter";
import "./camera.css";

export type CameraProps = {
  /** Taken since the camera was opened. */
  taken: PreparedPhoto[];
  /** What is wrong with the last photo, or why there can be no further one. */
  told: string | undefined;
  /** The last photo had no room: until it has, none is taken that would be nowhere but on the screen. */
  isFull: boolean;
  onPicture: (file: Blob) => void;
  /** From the phone's own camera app, where this one cannot be had. */
  onFiles: (files: File[]) => void;
  /** Where one can be drawn on before it is saved. */
  onDraw: ((photo: PreparedPhoto) => void) | undefined;
  onClose: () => void;
};

const WORDS = "camera-words";

/** The camera within the page: several photos in a row, each kept as soon as it is taken. */
export default function CameraView({ taken, told, isFull, onPicture, ...more }: CameraProps) {
  const film = useRef<HTMLVideoElement>(null);
  const { camera, trouble } = useCamera(film);
  const { state, shoot, settled } = useShutter({ camera, film, onPicture });
  const leave = async () => {
    if (await settled()) more.onClose();
  };
  const words = state === "failed" ? t("camera.failed") : told;
  return (
    <FullSheet name={t("camera.title")} onClose={() => void leave()}>
      <div class="full-sheet-picture">
        {trouble ? (
          <p class="camera-trouble" role="alert">
            {t(`camera.${trouble}`)}
          </p>
        ) : (
          <video ref={film} autoplay={true} playsInline={true} muted={true} />
        )}
      </div>
      {words && (
        <p id={WORDS} class="full-sheet-words" role="alert">
          {words}
        </p>
      )}
      <div class="full-sheet-bottom">
        <Taken photos={taken} onDraw={more.onDraw} />
        {trouble && <OwnApp onFiles={more.onFiles} />}
        <div class="camera-row">
          <Button onPress={() => void leave()}>
            {t(taken.length > 0 ? "camera.done" : "common.back")}
          </Button>
          {!trouble && (
            <Shutter
              isReady={camera !== undefined && state !== "shooting" && !isFull}
              why={isFull ? WORDS : undefined}
              onPress={shoot}
            />
          )}
          <Torch camera={camera} />
        </div>
      </div>
    </FullSheet>
  );
}

type ShutterProps = {
  isReady: boolean;
  /** The id of the words that say why not. */
  why: string | undefined;
  onPress: () => void;
};

function Shutter({ isReady, why, onPress }: ShutterProps) {
  return (
    <button
      type="button"
      class="camera-shutter"
      aria-label={t("camera.shoot")}
      aria-disabled={!isReady}
      aria-describedby={why}
      onClick={() => isReady && onPress()}
    />
  );
}

function OwnApp({ onFiles }: Pick<CameraProps, "onFiles">) {
  const camera = { accept: "image/*", from: "camera" } as const;
  return (
    <FilePick
      {...camera}
      kind="primary"
      icon="camera"
      label={t("camera.own_app")}
      onFiles={onFiles}
    />
  );
}

/** The last ones: that each has come is what the person wants to see. (P) */
const SHOWN = 3;

type TakenProps = { photos: PreparedPhoto[]; onDraw: CameraProps["onDraw"] };

function Taken({ photos, onDraw }: TakenProps) {
  const first = Math.max(0, photos.length - SHOWN);
  return (
    <div class="camera-taken">
      {photos.slice(first).map((photo, index) => (
        <One key={photo.sha256} photo={photo} number={first + index + 1} onDraw={onDraw} />
      ))}
      <p role="status">{photos.length > 0 && t("camera.count", { count: photos.length })}</p>
    </div>
  );
}

type OneProps = Pick<TakenProps, "onDraw"> & { photo: PreparedPhoto; number: number };

function One({ photo, number, onDraw }: OneProps) {
  const url = useBlobUrl(photo.thumb);
  if (!onDraw) return <Thumb url={url} alt={t("camera.taken", { number })} marked={photo} />;
  const name = t("photo.draw_on", { number });
  return <Photo url={url} alt={name} named="alt" marked={photo} onOpen={() => onDraw(photo)} />;
}
