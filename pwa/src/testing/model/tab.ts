/** One tab of the app: a fresh copy of all its modules, on the disk of its phone. */
import { browserOf } from "./browser.ts";
import type { Booking } from "./clock.ts";
import type { Device } from "./device.ts";
import { giveTurn } from "./turns.ts";
import { Events } from "./web.ts";

export type App = typeof import("./phone.ts");
/** The bundled app as a function of its browser; called once for each tab. */
export type MakeApp = (browser: Record<string, unknown>) => App;
type Channel = { name: string; onmessage: ((event: { data: unknown }) => void) | null };

export class Tab {
  isOpen = true;
  readonly events = new Events();
  readonly channels: Channel[] = [];
  readonly isOnline: { onLine: boolean };
  readonly document: { visibilityState: string; addEventListener: Events["on"] };
  readonly app: App;
  private readonly seen = new Events();

  constructor(
    readonly device: Device,
    makeApp: MakeApp,
  ) {
    this.document = {
      visibilityState: "visible",
      addEventListener: (type, heard) => this.seen.on(type, heard),
    };
    this.isOnline = { onLine: device.line !== "off" };
    this.app = makeApp(browserOf(this));
  }

  /** The app goes on until it waits for something again, or until the battery is empty. */
  async turn(work: () => void): Promise<void> {
    // Its phone may have died under the one before it: a tab that is gone would hold its lock for ever.
    if (!this.isOpen) {
      return;
    }
    const { fuse } = this.device;
    const done = await giveTurn(this.device, fuse === null ? { work } : { work, most: fuse });
    this.device.burn(done);
  }

  after(ms: number, work: () => void): Booking {
    return this.device.clock.after(ms, async () => {
      if (this.isOpen) {
        await this.turn(work);
      }
    });
  }

  async show(isVisible: boolean): Promise<void> {
    this.document.visibilityState = isVisible ? "visible" : "hidden";
    await this.turn(() => this.seen.tell("visibilitychange"));
  }

  report(problem: unknown): void {
    // A full disk is told to the browser's log and tried again: that is what it is for.
    if (!this.app.isDiskFull(problem)) {
      this.device.problems.push(
        `${this.device.name}: ${problem instanceof Error ? problem.stack : problem}`,
      );
    }
  }
}
