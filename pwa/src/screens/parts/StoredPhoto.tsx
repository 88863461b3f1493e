import { useState } from "preact/hooks";
import { Notice } from "../../components/Notice";
import { Photo, PhotoView, Thumb } from "../../components/Photo";
import type { PhotoRow } from "../../local/rows";
import { usePhotoUrl } from "../../queries/photos";
import { DrawOnStored } from "./DrawOn";
import { failureWords } from "./failure";

type Props = { photo: PhotoRow; alt: string };

export function StoredThumb({ photo, alt }: Props) {
  return <Thumb url={usePhotoUrl(photo.id, "thumb").value} alt={alt} marked={photo} />;
}

type LargeProps = Props & { onDraw: () => void; onClose: () => void };

function Large({ photo, ...view }: LargeProps) {
  return <PhotoView url={usePhotoUrl(photo.id, "large").value} marked={photo} {...view} />;
}

/** A photo of this phone or of the server: the large one is fetched only when it is opened. */
export function StoredPhoto(props: Props) {
  const { photo, alt } = props;
  const [open, setOpen] = useState<"shut" | "look" | "draw">("shut");
  const [trouble, setTrouble] = useState<string>();
  const url = usePhotoUrl(photo.id, "thumb").value;
  return (
    <>
      <Photo url={url} alt={alt} marked={photo} onOpen={() => setOpen("look")} />
      {trouble && (
        <Notice kind="bad" urgency="now">
          {trouble}
        </Notice>
      )}
      {open === "look" && (
        <Large {...props} onDraw={() => setOpen("draw")} onClose={() => setOpen("shut")} />
      )}
      {open === "draw" && (
        <DrawOnStored
          photo={photo}
          onResult={(result) => setTrouble(result.ok ? undefined : failureWords(result))}
          onClose={() => setOpen("look")}
        />
      )}
    </>
  );
}
