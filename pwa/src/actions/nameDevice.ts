import { readSetting, writeSetting } from "../local/home";

const NAME = "device_name";

/**
 * What a person calls this device, so that they can tell their devices apart when one is lost. Kept
 * here; the server hears of it at the next sign-in.
 */
export async function nameDevice(name: string): Promise<void> {
  await writeSetting(NAME, name.trim().slice(0, 60));
}

/** The name that was given, else what the browser says of the system it runs on. */
export async function deviceName(): Promise<string> {
  const given = await readSetting<string>(NAME);
  const system = /\(([^;)]+)/.exec(navigator.userAgent)?.[1] ?? "";
  return given || system.slice(0, 60) || "phone";
}
