import { beginAnew } from "../sync/start";

/** The button "Send now": tries at once, whatever was waited for. With no signal nothing happens. */
export async function sendNow(): Promise<void> {
  beginAnew();
}
