/** Two people, three phones, two jobs and a server, all of it from one seed. */
import { Buffer } from "node:buffer";
import { Chance } from "./chance.ts";
import { Clock } from "./clock.ts";
import type { Site } from "./deeds.ts";
import { Device, type Who } from "./device.ts";
import { Journal } from "./journal.ts";
import { Network } from "./network.ts";
import type { Asker, Desk } from "./server.ts";
import type { App, MakeApp } from "./tab.ts";
import { Trace } from "./trace.ts";
import type { Truth } from "./verdict.ts";

type Person = { id: string; name: string; role: Who["role"] };
type Phone = { name: string; device_id: string; cookie: string; person: Person };
/** What the desk made for this run: a company of its own. */
type Cast = { salt: string; company: string; company_id: string; phones: Phone[]; picture: string };
export type Surroundings = {
  ask: Asker;
  desk: Desk;
  makeApp: MakeApp;
  hasCopies: boolean;
  often: string[];
};
const MOST_DEVICES = 5;

export class World {
  readonly clock = new Clock();
  readonly journal = new Journal();
  readonly chance: Chance;
  readonly trace: Trace;
  readonly network: Network;
  readonly devices: Device[];
  readonly hasCopies: boolean;
  /** Was a disk put back, or a phone copied? */
  isCopied = false;
  /** Did the server come back from a backup? */
  isRestored = false;
  private backup: { isSeen: boolean[]; bumps: [string, number][] } | null = null;
  readonly picture: Buffer;
  readonly sites: Site[] = [];
  /** Of each job: does the technician see it now? */
  readonly isSeen = [true, true];
  /** How often something beside the phones changed a job. */
  readonly bumps = new Map<string, number>();

  constructor(
    readonly seed: number,
    private readonly cast: Cast,
    readonly around: Surroundings,
  ) {
    this.chance = new Chance(`${seed}`);
    this.trace = new Trace(this.clock);
    const { ask, makeApp } = around;
    this.hasCopies = around.hasCopies;
    const { clock, trace } = this;
    this.network = new Network({ clock, trace, ask, chance: new Chance(`${seed}/line`) });
    const rest = { clock, trace, network: this.network, makeApp, seed: `${seed}`, salt: cast.salt };
    this.devices = cast.phones.map((phone) => new Device(ownerOf(phone, cast), rest));
    this.picture = Buffer.from(cast.picture, "base64");
  }

  /** The office sets the jobs up and plans the visits; then everybody has everything. */
  async setUp(): Promise<void> {
    const [office, ...phones] = this.devices;
    if (!office) {
      throw new Error("nobody is in the office");
    }
    await office.setUp();
    await this.clock.runFor(1_000);
    for (const name of ["Invented Hall", "Invented Tower"]) {
      this.sites.push(await createSite(office, name));
    }
    for (const site of this.sites) {
      await planVisit(office, { site, person_id: this.technician });
    }
    this.journal.look(office);
    await this.clock.runFor(3_000);
    for (const phone of phones) {
      await phone.setUp();
    }
    await this.clock.runFor(3_000);
    this.network.isHealed = false;
  }

  get technician(): string {
    const found = this.cast.phones.find(({ person }) => person.role === "technician");
    return found?.person.id ?? "";
  }

  /** The visit goes to somebody else, or comes back. */
  async letSee(place: number, isSeen: boolean): Promise<void> {
    const job_id = this.sites[place]?.id ?? "";
    this.isSeen[place] = isSeen;
    this.trace.note(`job ${place} is ${isSeen ? "theirs" : "theirs no longer"}`);
    this.bumps.set(job_id, (this.bumps.get(job_id) ?? 0) + 1);
    await this.around.desk("/visit", { job_id, person_id: this.technician, is_theirs: isSeen });
  }

  /** What lies in the server's database now. */
  async readTruth(): Promise<Truth> {
    return await this.around.desk<Truth>("/truth", { job_ids: this.sites.map(({ id }) => id) });
  }

  /** Two phones that take themselves for the same one. */
  async addTwin(device: Device): Promise<void> {
    if (this.devices.length < MOST_DEVICES) {
      this.isCopied = true;
      const twin = device.twin(`${device.name}/${this.devices.length}`);
      this.devices.push(twin);
      await twin.openTab();
    }
  }

  /** As after a restore from a backup: every phone reads everything again. */
  async beginNewEpoch(): Promise<void> {
    this.trace.note("another epoch");
    await this.around.desk("/epoch", { company_id: this.cast.company_id });
  }

  /** All that the server knows, but for the bytes of photos. */
  async backUpServer(): Promise<void> {
    await this.around.desk("/back_up", { company_id: this.cast.company_id });
    this.backup = { isSeen: [...this.isSeen], bumps: [...this.bumps] };
  }

  /** What came since is gone from the server; the phones have it. */
  async restoreServer(): Promise<void> {
    if (!this.backup) {
      return;
    }
    this.trace.note("the server comes back from its backup");
    await this.around.desk("/restore", { company_id: this.cast.company_id });
    this.isRestored = true;
    this.isSeen.splice(0, 2, ...this.backup.isSeen);
    this.bumps.clear();
    for (const [job_id, bumps] of this.backup.bumps) {
      this.bumps.set(job_id, bumps);
    }
    await this.beginNewEpoch();
  }
}

function ownerOf({ name, device_id, cookie, person }: Phone, { company }: Cast) {
  const { id, role, name: called } = person;
  const who: Who = { as: "device", principal_id: id, role, name: called, company_name: company };
  return { name, who, device_id, cookie };
}

async function createSite(office: Device, name: string): Promise<Site> {
  const made = await touch(office, async (app) => {
    const [system_id, ...unit_ids] = Array.from({ length: 5 }, () => app.uuid7());
    const site = { system_id: system_id ?? "", unit_ids };
    const said = await app.createJob(sheetOf(site, name));
    return { ...site, id: said.ok ? said.id : "" };
  });
  if (!made.id) {
    throw new Error("the job could not be set up");
  }
  return made;
}

async function touch<T>(device: Device, work: (app: App) => Promise<T>): Promise<T> {
  const tab = device.tabs[0];
  const ended = tab && (await device.act(tab, work));
  if (ended === undefined) {
    throw new Error(`${device.name} does not answer`);
  }
  return ended;
}

async function planVisit(
  office: Device,
  { site, person_id }: { site: Site; person_id: string },
): Promise<void> {
  const visit = { startsAt: "2026-11-25T07:00:00.000Z", plannedS: 28_800, personId: person_id };
  await touch(office, (app) => app.planVisit({ jobId: site.id, purpose: "part_one", ...visit }));
}

type Sheet = Parameters<App["createJob"]>[0];

/** One system: an outdoor module, a box, and two units that hang on it. */
export function sheetOf({ system_id, unit_ids }: Omit<Site, "id">, name: string): Sheet {
  const [outdoor = "", box = ""] = unit_ids;
  const kinds = ["outdoor_module", "branch_box", "indoor_unit", "indoor_unit"] as const;
  const units = kinds.map((kind, place) => ({
    id: unit_ids[place] ?? "",
    system_id,
    kind,
    tag: `U-${place + 1}`,
    floor: "1",
    floor_order: 1,
    place: null,
    room: null,
    room_m3: 60,
    parent_id: place === 0 ? null : place === 1 ? outdoor : box,
    port: place > 1 ? place - 1 : null,
    port_count: kind === "branch_box" ? 4 : null,
    group_address: null,
    central_address: null,
    feeder: place === 0 ? "F1" : null,
    model_note: null,
  }));
  const system = { id: system_id, tag: "S1", refrigerant: "R-410A", nominal_v: 400 };
  return {
    name,
    address: "1 Invented Street",
    contractorFirm: "Invented Pipes",
    timeZone: "Europe/Berlin",
    shiftStart: "07:00",
    shiftEnd: "15:30",
    shiftDays: [1, 2, 3, 4, 5],
    invented: true,
    systems: [{ ...system, kind: "heat_recovery" }],
    units,
  };
}
