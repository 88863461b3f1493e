/** The end of all faults, and how long it then takes until nothing waits any more. */
import type { OutboxRecord, UploadRecord } from "../../local/records";
import type { World } from "./world.ts";

/** The promise of sync: an empty queue so soon after the last fault has healed. */
const PROMISED_MS = 10_000;
const LOOK_MS = 250;
const MOST_LOOKS = 6;

/** Answers after how long nothing waited; null when something still does. */
export async function heal(world: World): Promise<number | null> {
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

async function untilEmpty(world: World): Promise<number | null> {
  for (let waited_ms = 0; waited_ms <= PROMISED_MS; waited_ms += LOOK_MS) {
    if (world.devices.every((device) => device.read<OutboxRecord>("outbox").length === 0)) {
      return waited_ms;
    }
    await world.clock.runFor(LOOK_MS);
  }
  return null;
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
