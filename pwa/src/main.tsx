/** The composition root: what is wired to what, and nothing else. */
import "./styles/index.css";
import { render } from "preact";
import { App } from "./app";
import { applyAppearance } from "./appearance";
import { noticeLoss } from "./local/lost";
import { noOpenWrites } from "./local/open_writes";
import { loadSession } from "./local/session";
import { whenTaken } from "./local/store";
import { guardChunks } from "./offline/chunks";
import { watchInstall } from "./offline/install";
import { requestPersist } from "./offline/storage";
import { startUpdates } from "./offline/updates";
import { openIntent } from "./photo/capture";
import { shortcutPath } from "./queries/shortcut";
import { startSync } from "./sync/start";
import { watchTheWayBack } from "./way-back";

/** An old window that stands still and keeps the store would keep a new one waiting for ever. (P) */
const HELD_MS = 10_000;

async function sayUnopened(root: HTMLElement, why: { problem: Error | null }): Promise<void> {
  const { Unopened } = await import("./unopened");
  render(<Unopened {...why} />, root);
}

async function start(root: HTMLElement): Promise<void> {
  guardChunks();
  watchInstall();
  watchTheWayBack();
  const waiting = setTimeout(() => void sayUnopened(root, { problem: null }), HELD_MS);
  const found = await openStores().catch((problem: unknown) => asError(problem));
  clearTimeout(waiting);
  applyAppearance();
  if (found instanceof Error) {
    await sayUnopened(root, { problem: found });
    return;
  }
  await chooseScreen();
  render(<App />, root);
  if (found === "blank") {
    void import("./actions/comeBack").then(({ comeBack }) => comeBack());
  }
  startSync();
  startUpdates();
  await requestPersist();
}

/** Everything that is kept on this phone is behind these; nothing can be shown without. */
async function openStores(): Promise<"blank" | "known"> {
  await loadSession(location.pathname);
  whenTaken(beginAnewOnce);
  return await noticeLoss();
}

let isBeginningAnew = false;

/** Each of this tab's stores may say that it was taken: a second reload would cut the first off. */
function beginAnewOnce(): void {
  if (!isBeginningAnew) {
    isBeginningAnew = true;
    void noOpenWrites().then(() => location.reload());
  }
}

function asError(problem: unknown): Error {
  return problem instanceof Error ? problem : new Error(String(problem));
}

/** Behind the # is a link, which is opened first: it may be another than the last one (screens/answer). */
function isFirstScreen({ pathname, hash }: Location): boolean {
  return pathname === "/" || (pathname === "/answer" && hash === "");
}

/** A shortcut of the icon, or a restart after the system stopped the app behind the camera. */
async function chooseScreen(): Promise<void> {
  const intent = isFirstScreen(location) ? await openIntent() : undefined;
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
