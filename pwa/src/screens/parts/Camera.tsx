import type { ComponentType } from "preact";
import { useState } from "preact/hooks";
import type { CameraProps } from "../../components/CameraView";
import type { PreparedPhoto } from "../../photo/prepare";
import { DrawOnNew } from "./DrawOn";
import type { Drawn } from "./usePhotos";

type Props = Omit<CameraProps, "onDraw"> & {
  View: ComponentType<CameraProps>;
  onDrawn: ((drawn: Drawn) => void) | undefined;
};

/** The camera, and over it the photo that is drawn on. */
export function Camera({ View, onDrawn, ...camera }: Props) {
  const [open, setOpen] = useState<PreparedPhoto>();
  return (
    <>
      <View {...camera} onDraw={onDrawn && setOpen} />
      {open && onDrawn && (
        <DrawOnNew photo={open} onDrawn={onDrawn} onClose={() => setOpen(undefined)} />
      )}
    </>
  );
}
