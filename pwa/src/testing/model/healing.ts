/** The end of all faults, and how long it then takes until nothing waits any more. */
import type { OutboxRecord, UploadRecord } from "../../local/records";
import type { World } from "./world.ts";

/** The promise of sync: an empty queue so soon after the last fault has healed, and every photo sent. */
const PROMISED_MS = 10_000;
const LOOK_MS = 250;
const MOST_LOOKS = 6;

/** After how long nothing waited any more; null where something still does. */
export type Emptied = { empty_ms: number | null; photos_ms: number | null };

export async function heal(world: World): Promise<Emptied> {
  world.trace.note("everything heals");
  for (const device of world.devices) {
    device.disk.full = 0;
    device.fuse = null;
    const was = device.line;
    device.line = "good";
    if (was === "off") {
      await device.tellOnline(true);
    }
    if (device.tabs.length === 0) {
      await device.openTab();
    }
    for (const tab of device.tabs.filter((one) => one.document.visibilityState === "hidden")) {
      await tab.show(true);
    }
  }
  world.network.heal();
  return await untilEmpty(world);
}

async function untilEmpty({ devices, clock }: World): Promise<Emptied> {
  const emptied: Emptied = { empty_ms: null, photos_ms: null };
  for (let waited_ms = 0; waited_ms <= PROMISED_MS; waited_ms += LOOK_MS) {
    if (devices.every((device) => device.read<OutboxRecord>("outbox").length === 0)) {
      emptied.empty_ms ??= waited_ms;
      if (devices.every((device) => !device.read<UploadRecord>("uploads").some(isWaiting))) {
        return { ...emptied, photos_ms: waited_ms };
      }
    }
    await clock.runFor(LOOK_MS);
  }
  return emptied;
}

/** Nobody looks at a phone meanwhile: what waits has to go by itself. */
export function lateIn({ empty_ms, photos_ms }: Emptied): string[] {
  const late = empty_ms === null ? "something waits" : photos_ms === null ? "a photo waits" : "";
  return late ? [`${late} ${PROMISED_MS / 1_000} s after the last fault`] : [];
}

function isWaiting(upload: UploadRecord): boolean {
  return isOnItsWay(upload) && upload.uploaded_at === null;
}

/** Everybody looks at their phone again, until nothing was sent since the look before. */
export async function comeTogether(world: World): Promise<void> {
  let before = -1;
  for (let look = 0; look < MOST_LOOKS; look += 1) {
    for (const device of world.devices) {
      for (const tab of device.tabs) {
        await tab.show(true);
      }
    }
    // Long enough for a tab that found another one at work to look again.
    await world.clock.runFor(5_000);
    if (world.network.changing === before) {
      return;
    }
    before = world.network.changing;
  }
}

export function isOnItsWay(upload: UploadRecord): boolean {
  return !upload.held;
}
