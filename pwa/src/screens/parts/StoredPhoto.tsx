import { useState } from "preact/hooks";
import { Photo, PhotoView, Thumb } from "../../components/Photo";
import type { PhotoRow } from "../../local/rows";
import { usePhotoUrl } from "../../queries/photos";

type Props = { photo: PhotoRow; alt: string };

export function StoredThumb({ photo, alt }: Props) {
  return <Thumb url={usePhotoUrl(photo.id, "thumb").value} alt={alt} />;
}

function Large({ photo, alt, onClose }: Props & { onClose: () => void }) {
  return <PhotoView url={usePhotoUrl(photo.id, "large").value} alt={alt} onClose={onClose} />;
}

/** A photo of this phone or of the server: the large one is fetched only when it is opened. */
export function StoredPhoto(props: Props) {
  const [open, setOpen] = useState(false);
  const url = usePhotoUrl(props.photo.id, "thumb").value;
  return (
    <>
      <Photo url={url} alt={props.alt} onOpen={() => setOpen(true)} />
      {open && <Large {...props} onClose={() => setOpen(false)} />}
    </>
  );
}
