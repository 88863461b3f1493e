/**
 * Who is using the app. A phone can hold one person and several contractor links; which one a
 * tab uses follows from where it is opened: `/answer` is the link's, everything else the person's.
 * Nothing here needs the network: a session that the server has forgotten still opens, shows and
 * saves everything; only sending waits for signing in again.
 */
import { type ReadonlySignal, signal } from "@preact/signals";
import { liveQuery } from "dexie";
import { home, readSetting, type SavedSession, type Session, writeSetting } from "./home";

export type { Session } from "./home";

const current = signal<Session | null>(null);
/** The session of this tab; null when nobody has signed in on this phone. */
export const session: ReadonlySignal<Session | null> = current;

export type Mode = "day" | "dark" | "sun" | "auto";
const modeNow = signal<Mode>("auto");
const leftHandedNow = signal(false);
export const mode: ReadonlySignal<Mode> = modeNow;
export const leftHanded: ReadonlySignal<boolean> = leftHandedNow;

export async function setMode(value: Mode): Promise<void> {
  modeNow.value = value;
  await writeSetting("mode", value);
}

export async function setLeftHanded(value: boolean): Promise<void> {
  leftHandedNow.value = value;
  await writeSetting("left_handed", value);
}

/** Called once before the first screen is drawn. */
export async function loadSession(path: string): Promise<void> {
  modeNow.value = (await readSetting<Mode>("mode")) ?? "auto";
  leftHandedNow.value = (await readSetting<boolean>("left_handed")) ?? false;
  current.value = await pickSession(path);
}

async function lastUsed(): Promise<SavedSession[]> {
  const saved = await home.sessions.toArray();
  return saved.sort((a, b) => b.used_at.localeCompare(a.used_at));
}

/** The link that was opened last on this phone. */
export async function lastLink(): Promise<Session | undefined> {
  return (await lastUsed()).find((one) => one.as === "link");
}

async function pickSession(path: string): Promise<Session | null> {
  const saved = await lastUsed();
  const link = saved.find((one) => one.as === "link");
  const person = saved.find((one) => one.as === "device");
  return (path.startsWith("/answer") ? link : (person ?? link)) ?? null;
}

/** Signing in or opening a link makes it the session of this tab. One person at a time. */
export async function enterSession(next: Session): Promise<void> {
  await home.transaction("rw", home.sessions, async () => {
    if (next.as === "device") {
      await home.sessions.where("as").equals("device").delete();
    }
    await home.sessions.put({ ...next, used_at: new Date().toISOString() });
  });
  current.value = next;
}

/** In this tab a person by hand or a link, or in another tab a person, who is the one of this tab then too. */
export async function enterUnlessSomebodyDid(next: Session): Promise<void> {
  const there = await home.transaction("rw", home.sessions, async () => {
    const person = await home.sessions.where("as").equals("device").first();
    if (!person && !current.value) {
      await home.sessions.put({ ...next, used_at: new Date().toISOString() });
    }
    return person ?? next;
  });
  current.value ??= there;
}

/** The principal's own database stays: unsent work is still there at the next sign-in. */
export async function leaveSession(): Promise<void> {
  const leaving = current.value;
  if (leaving) {
    await home.sessions.delete(leaving.principal_id);
  }
  current.value = null;
}

/**
 * Another tab may have signed out, or somebody else in: the cookie is theirs from then on, and this
 * tab must not send or read under it.
 */
export function watchSession(path: () => string): void {
  liveQuery(() => home.sessions.toCollection().primaryKeys()).subscribe({
    next: (known) => {
      const mine = current.peek();
      if (mine && !known.includes(mine.principal_id)) {
        void pickSession(path()).then((next) => {
          current.value = next;
        });
      }
    },
    error: reportError,
  });
}
