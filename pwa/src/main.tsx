/** The composition root: what is wired to what, and nothing else. */
import "./styles/index.css";
import { render } from "preact";
import { App } from "./app";
import { applyAppearance } from "./appearance";
import { loadSession } from "./local/session";
import { guardChunks } from "./offline/chunks";
import { watchInstall } from "./offline/install";
import { requestPersist } from "./offline/storage";
import { startUpdates } from "./offline/updates";
import { openIntent } from "./photo/capture";
import { shortcutPath } from "./queries/shortcut";
import { startSync } from "./sync/start";
import { watchTheWayBack } from "./way-back";

async function start(root: HTMLElement): Promise<void> {
  guardChunks();
  watchInstall();
  watchTheWayBack();
  await loadSession(location.pathname);
  await chooseScreen();
  applyAppearance();
  render(<App />, root);
  startSync();
  startUpdates();
  await requestPersist();
}

/** A shortcut of the icon, or a restart after the system stopped the app behind the camera. */
async function chooseScreen(): Promise<void> {
  const intent = location.pathname === "/" ? await openIntent() : undefined;
  const path = intent?.path ?? (await shortcutPath(new URL(location.href)));
  if (path) {
    history.replaceState(null, "", path);
  }
}

const root = document.getElementById("app");
if (!root) {
  throw new Error("index.html has no #app");
}
start(root).catch(reportError);
