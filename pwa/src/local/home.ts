/**
 * The tiny database `flarenut`: which people and links this phone knows and how it
 * likes to look. Everything about a job lives in one database per principal
 * (store.ts), so that nobody who borrows the phone sees another's work.
 */
import { Dexie, type EntityTable } from "dexie";
import type { Role } from "./rows";

export type Session = {
  as: "device" | "link";
  /** The person's id, or the link's. */
  principal_id: string;
  role: Role;
  name: string;
  company_name: string;
  /** Of a person, as they signed in: gone from this phone when they sign out. */
  email?: string;
  /** The one job that a link opens. */
  job_id?: string;
  firm?: string;
  /** Whom a link was made out to. */
  recipient?: string;
  /** sha256 of its secret, by which the phone knows a link again that it has opened before. */
  secret_sha256?: string;
  expires_at?: string;
};

/** `is_stuck`: what waits under this link could not be moved to the next one. */
export type SavedSession = Session & { used_at: string; is_stuck?: boolean };
type Setting = { name: string; value: unknown };

class Home extends Dexie {
  sessions!: EntityTable<SavedSession, "principal_id">;
  settings!: EntityTable<Setting, "name">;

  constructor() {
    super("flarenut", { chromeTransactionDurability: "strict" });
    this.version(1).stores({ sessions: "principal_id, as", settings: "name" });
  }
}

export const home = new Home();

export async function readSetting<T>(name: string): Promise<T | undefined> {
  return (await home.settings.get(name))?.value as T | undefined;
}

export async function writeSetting(name: string, value: unknown): Promise<void> {
  await home.settings.put({ name, value });
}
