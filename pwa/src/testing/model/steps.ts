/** One step of a run: somebody does something, or something goes wrong. */
import { favour } from "./chance.ts";
import { cardsOf, type Deed, drawDeed, type Site, sendAgain } from "./deeds.ts";
import type { Device } from "./device.ts";
import type { Tab } from "./tab.ts";
import type { World } from "./world.ts";

const STEPS = {
  deed: 52,
  line: 12,
  battery: 6,
  open: 6,
  tab: 4,
  full: 4,
  clock: 4,
  access: 3,
  screen: 4,
  send: 3,
  wait: 2,
};
/** Beside these, in a world with copies; each seed has another course there. */
const OF_PHONES = { backUp: 4, putBack: 3, twin: 2 };
const OF_THE_SERVER = { backUpServer: 4, restore: 3, reset: 2 };
/** Only where it is asked for: by itself it comes once in thousands of seeds. */
const RARE = { again: 1 };
type Kind =
  | keyof typeof RARE
  | keyof typeof STEPS
  | keyof typeof OF_PHONES
  | keyof typeof OF_THE_SERVER;
/** By turns: phones are copied, the server comes back from backups, or both. */
const WITH_COPIES: Partial<Record<Kind, number>>[] = [
  { ...STEPS, ...OF_PHONES },
  { ...STEPS, ...OF_THE_SERVER },
  { ...STEPS, ...OF_PHONES, ...OF_THE_SERVER },
];
const HOUR_MS = 3_600_000;
/** Daylight saving, a wrong day, a year ahead. */
const JUMPS_MS = [-HOUR_MS, HOUR_MS, -26 * HOUR_MS, 26 * HOUR_MS, 366 * 24 * HOUR_MS];

export async function takeStep(world: World, n: number): Promise<void> {
  const { chance } = world;
  const device = chance.oneOf(world.devices);
  const usual = world.hasCopies ? WITH_COPIES[world.seed % WITH_COPIES.length] : STEPS;
  const weights = world.around.often.includes("again") ? { ...usual, ...RARE } : usual;
  const kind = chance.weighted<Kind>(
    favour((weights ?? STEPS) as Record<Kind, number>, world.around.often),
  );
  world.trace.note(`step ${n}: ${kind}, ${device.name}`);
  await DO[kind](world, { device, n });
  await world.clock.runFor(
    chance.happens(4) ? chance.whole(3_000, 30_000) : chance.whole(5, 1_200),
  );
}

type Step = (world: World, at: { device: Device; n: number }) => Promise<void>;

const DO: Record<Kind, Step> = {
  deed: doDeed,
  line: changeLine,
  battery: async ({ chance }, { device }) => {
    device.fuse = chance.whole(1, 150);
  },
  open: async (_world, { device }) => {
    if (device.tabs.length > 0) {
      device.kill();
    }
    await device.openTab();
  },
  tab: changeTabs,
  full: async ({ chance }, { device }) => {
    device.disk.full = chance.whole(1, 3);
  },
  clock: async ({ chance }, { device }) => {
    device.wrong_ms += chance.oneOf(JUMPS_MS);
  },
  access: async (world) => {
    const place = world.chance.happens(75) ? 1 : 0;
    await world.letSee(place, !world.isSeen[place]);
  },
  screen: async ({ chance }, { device }) => {
    for (const tab of [...device.tabs]) {
      await tab.show(chance.happens(50));
    }
  },
  send: async (_world, { device }) => {
    const tab = device.tabs[0];
    if (tab) {
      await device.act(tab, (app) => app.sendNow());
    }
  },
  wait: async ({ clock, chance }) => await clock.runFor(chance.whole(15_000, 45_000)),
  backUp: async (_world, { device }) => {
    device.backup = device.disk.copy();
  },
  putBack: async (world, { device }) => {
    if (device.backup) {
      world.isCopied = true;
      const received = new Set((await world.readTruth()).receipts.map(({ id }) => id));
      world.journal.doubt(device, { disk: device.backup, received });
      await device.putBack(device.backup);
    }
  },
  twin: async (world, { device }) => await world.addTwin(device),
  reset: async (world) => await world.beginNewEpoch(),
  backUpServer: async (world) => await world.backUpServer(),
  restore: async (world) => await world.restoreServer(),
  again: sendAgainFromBoth,
};

/** Somebody has the same card on two phones, gets their access back, and sends it again from each. */
async function sendAgainFromBoth(world: World): Promise<void> {
  const phones = world.devices.filter(({ owner }) => owner.who.role === "technician");
  const cards = phones.map((phone) => cardsOf(phone).filter(({ type }) => type !== "issue.raise"));
  const shared = cards[0]?.find(({ id }) => cards.every((all) => all.some((one) => one.id === id)));
  const place = world.sites.findIndex(({ id }) => id === shared?.job_id);
  if (place >= 0 && !world.isSeen[place]) {
    await world.letSee(place, true);
  }
  for (const device of shared ? phones : []) {
    if (device.tabs.length === 0) {
      await device.openTab();
    }
    const tab = device.tabs.at(-1);
    if (tab && shared) {
      await doIt(world, { device, tab, deed: sendAgain(shared) });
    }
  }
}

/** On the job that is in sight; a phone that lost its access goes on writing until it is told. */
async function doDeed(world: World, { device, n }: { device: Device; n: number }): Promise<void> {
  if (device.tabs.length === 0) {
    await device.openTab();
  }
  const tab = device.tabs.at(-1);
  if (!tab) {
    return;
  }
  const { chance, picture, around } = world;
  const sites = world.sites.filter((site) => isShown(device, site));
  if (sites.length === 0) {
    return;
  }
  const doing = {
    device,
    site: chance.oneOf(sites),
    words: `${device.name} ${n}`,
    chance,
    picture,
    often: around.often,
  };
  await doIt(world, { device, tab, deed: drawDeed(doing) });
}

type Done = { device: Device; tab: Tab; deed: Deed };

async function doIt({ trace, journal }: World, { device, tab, deed }: Done): Promise<void> {
  const said = await device.act(tab, deed.touch);
  const outcome = said === undefined ? "cut short" : said.ok ? "saved" : said.code;
  if (deed.card && (said?.ok ?? true)) {
    journal.dealtWith.add(deed.card);
  }
  const fresh = journal.compare(device, { said, ...deed });
  trace.note(`${device.name} ${deed.name}: ${outcome}, ${fresh.map(({ seq }) => seq).join(" ")}`);
}

function isShown(device: Device, { id }: Site): boolean {
  return device.read<{ job_id: string }>("cursors").some((one) => one.job_id === id);
}

async function changeLine({ chance }: World, { device }: { device: Device }): Promise<void> {
  const before = device.line;
  device.line =
    before === "good" ? chance.oneOf(["off", "off", "silent", "deaf"] as const) : "good";
  // An aeroplane mode is told to the app; a basement often is not.
  if (device.line === "off" || (before === "off" && chance.happens(70))) {
    await device.tellOnline(device.line !== "off");
  }
}

async function changeTabs(_world: World, { device }: { device: Device }): Promise<void> {
  const [first, second] = device.tabs;
  if (first && second) {
    device.closeTab(first);
  } else {
    await device.openTab();
  }
}
