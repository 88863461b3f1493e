import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { openLink } from "../../actions/openLink";
import { openIntent } from "../../photo/capture";

/** "none" when there is nothing to open, else a code of what went wrong. */
export type Opening = "none" | "busy" | string;

function secretInAddress(): string | null {
  const secret = location.hash.slice(1);
  return secret === "" ? null : secret;
}

function clearAddress(): void {
  history.replaceState(history.state, "", `${location.pathname}${location.search}`);
}

/**
 * Opens the link whose secret stands behind the # of the address. The secret
 * leaves the address bar as soon as the server has answered, so that it is not
 * shared with a copied address or a screenshot. Without an answer it stays, also
 * where the phone knows the link: a reload must still be able to open it.
 */
export function useOpening(): { opening: Opening; again: () => void; leave: () => void } {
  const [opening, setOpening] = useState<Opening>(() => (secretInAddress() ? "busy" : "none"));
  const { route } = useLocation();
  const open = async () => {
    const secret = secretInAddress();
    if (secret === null) return;
    setOpening("busy");
    const answer = await openLink(secret);
    const isAnswered = answer.ok ? answer.value.asked === "office" : answer.code !== "offline";
    if (isAnswered) clearAddress();
    // Tapped again after the app was ended behind the camera: on to the issue; back leads here.
    const intent = answer.ok ? await openIntent() : undefined;
    setOpening(answer.ok ? "none" : (answer.reason ?? answer.code));
    if (intent) route(intent.path);
  };
  useEffect(() => {
    void open();
    const onHash = () => void open();
    addEventListener("hashchange", onHash);
    return () => removeEventListener("hashchange", onHash);
  }, []);
  const leave = () => {
    clearAddress();
    setOpening("none");
  };
  return { opening, again: () => void open(), leave };
}
