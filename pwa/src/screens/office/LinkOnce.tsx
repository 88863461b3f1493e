import { useState } from "preact/hooks";
import type { NewLink } from "../../actions/links";
import { Button } from "../../components/Button";
import { Sheet } from "../../components/Sheet";
import { t } from "../../text";

type Props = { made: NewLink; onClose: () => void };

/** As an image the drawing can hold no script, whatever it contains. */
function asImage(svg: string): string {
  const bytes = new TextEncoder().encode(svg);
  const text = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
  return `data:image/svg+xml;base64,${btoa(text)}`;
}

/** The secret is shown this once; the server keeps only its hash. */
export function LinkOnce({ made, onClose }: Props) {
  const [isCopied, setCopied] = useState(false);
  const { recipient } = made.link;
  const copy = async () => {
    await navigator.clipboard.writeText(made.url);
    setCopied(true);
  };
  return (
    <Sheet
      title={t("office.link_url", { recipient })}
      onClose={onClose}
      bottom={
        <div class="actions">
          <Button kind="primary" onPress={() => void copy()}>
            {t(isCopied ? "office.link_copied" : "office.link_copy")}
          </Button>
          <Button onPress={onClose}>{t("office.link_done")}</Button>
        </div>
      }
    >
      <p>
        <b>{t("office.link_once")}</b>
      </p>
      <img class="office-qr" src={asImage(made.qr_svg)} alt={t("office.link_qr", { recipient })} />
      <p class="office-url">{made.url}</p>
    </Sheet>
  );
}
