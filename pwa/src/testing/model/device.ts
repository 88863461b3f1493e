/** One phone: a disk that stays, and an app that is opened, killed, and opened again. */
import { Chance } from "./chance.ts";
import type { Booking, Clock } from "./clock.ts";
import { Disk } from "./disk.ts";
import type { Network } from "./network.ts";
import { type App, type MakeApp, Tab } from "./tab.ts";
import type { Trace } from "./trace.ts";
import type { Task } from "./turns.ts";

/** `silent`: nothing gets through and nobody is told. `deaf`: what is sent arrives, no answer does. */
export type LineState = "good" | "off" | "silent" | "deaf";
export type Who = Parameters<App["enterSession"]>[0];
/** A morning in November: the same in every run. */
const MORNING_MS = Date.UTC(2026, 10, 25, 7);

export type Owner = { name: string; who: Who; device_id: string; cookie: string };
export type Surroundings = {
  clock: Clock;
  network: Network;
  trace: Trace;
  makeApp: MakeApp;
  seed: string;
  /** Other in each run, so that a seed that is run twice on one server makes other ids. */
  salt: string;
};

export class Device {
  disk = new Disk();
  readonly tasks: Task[] = [];
  readonly locks = new Map<string, Tab>();
  readonly problems: string[] = [];
  readonly chance: Chance;
  readonly random: Chance;
  tabs: Tab[] = [];
  line: LineState = "good";
  /** How far its clock is wrong. */
  wrong_ms = 0;
  /** So many more tasks, and the battery is empty. */
  fuse: number | null = null;
  kills = 0;
  /** Of its disk, made at some time. */
  backup: Disk | null = null;
  /** Photos that their author has given up. */
  given_up = new Set<string>();

  constructor(
    readonly owner: Owner,
    private readonly around: Surroundings,
  ) {
    this.chance = new Chance(`${around.seed}/${owner.name}`);
    this.random = new Chance(`${around.salt}/${owner.name}`);
  }

  get name(): string {
    return this.owner.name;
  }

  get cookie(): string {
    return this.owner.cookie;
  }

  get clock(): Clock {
    return this.around.clock;
  }

  get network(): Network {
    return this.around.network;
  }

  date_ms(): number {
    return MORNING_MS + Math.floor(this.clock.now_ms) + this.wrong_ms;
  }

  after(ms: number, run: () => Promise<void>): Booking {
    return this.clock.after(ms, run);
  }

  read<T>(store: string): T[] {
    return this.readFrom<T>(this.disk, store);
  }

  readFrom<T>(disk: Disk, store: string): T[] {
    return disk.read<T>(`flarenut-${this.owner.who.principal_id}`, store);
  }

  /** Signed in for the first time: the session is on this phone from then on. */
  async setUp(): Promise<void> {
    const tab = new Tab(this, this.around.makeApp);
    this.tabs.push(tab);
    const { who, device_id } = this.owner;
    await this.act(tab, async ({ adoptDevice, storeOf, enterSession, startSync }) => {
      await adoptDevice(storeOf(who.principal_id), device_id);
      await enterSession(who);
      startSync();
    });
  }

  async openTab(): Promise<void> {
    const tab = new Tab(this, this.around.makeApp);
    this.tabs.push(tab);
    await this.act(tab, async ({ loadSession, startSync }) => {
      await loadSession("/");
      startSync();
    });
  }

  /** What the app does at a touch. Undefined when it never came to an end: the battery was empty. */
  async act<T>(tab: Tab, touch: (app: App) => Promise<T>): Promise<T | undefined> {
    const ended: { value?: T } = {};
    await tab.turn(() => {
      touch(tab.app).then(
        (value) => {
          ended.value = value;
        },
        (problem) => tab.report(problem),
      );
    });
    return ended.value;
  }

  burn(done: number): void {
    if (this.fuse === null) {
      return;
    }
    this.fuse -= done;
    if (this.fuse <= 0) {
      this.kill();
    }
  }

  /** In the middle of whatever it does. */
  kill(): void {
    this.fuse = null;
    this.kills += 1;
    this.around.trace.note(`${this.name} killed, ${this.tasks.length} tasks left`);
    for (const tab of [...this.tabs]) {
      this.drop(tab);
    }
    this.tasks.length = 0;
    this.disk.cutPower();
    this.locks.clear();
  }

  /** The backup is put back: what was done since is on this phone no more. */
  async putBack(backup: Disk): Promise<void> {
    this.kill();
    this.disk = backup.copy();
    await this.openTab();
  }

  /** Another phone that begins with all that is on this one, its sign-in too. */
  twin(name: string): Device {
    const twin = new Device({ ...this.owner, name }, this.around);
    twin.disk = this.disk.copy();
    return twin;
  }

  /** One of several, while it stands still. */
  closeTab(tab: Tab): void {
    this.drop(tab);
  }

  private drop(tab: Tab): void {
    tab.isOpen = false;
    this.tabs = this.tabs.filter((other) => other !== tab);
    this.network.forget(tab);
    for (const [name, holder] of this.locks) {
      if (holder === tab) {
        this.locks.delete(name);
      }
    }
  }

  async tellOnline(isOnline: boolean): Promise<void> {
    for (const tab of [...this.tabs]) {
      tab.isOnline.onLine = isOnline;
      await tab.turn(() => tab.events.tell(isOnline ? "online" : "offline"));
    }
  }
}
