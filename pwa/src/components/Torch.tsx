import { useEffect, useState } from "preact/hooks";
import type { Camera } from "../photo/camera";
import { t } from "../text";
import { Icon } from "./Icon";

/** The phone's light, for a dark void; only where the camera has one. */
export function Torch({ camera }: { camera: Camera | undefined }) {
  const [light, setLight] = useState<"on" | "off">("off");
  // A camera that was opened anew begins without its light.
  useEffect(() => setLight("off"), [camera]);
  if (!camera?.hasTorch) return <span class="camera-no-torch" />;
  const turn = async () => {
    const next = light === "on" ? "off" : "on";
    try {
      await camera.setTorch(next);
      setLight(next);
    } catch {
      // The phone keeps its light to itself, when hot or low: it stays as it is, and so does the button.
    }
  };
  return (
    <button type="button" class="button" aria-pressed={light === "on"} onClick={() => void turn()}>
      <Icon name="torch" />
      <span>{t("camera.light")}</span>
    </button>
  );
}
