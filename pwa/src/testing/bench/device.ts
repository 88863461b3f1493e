/** One phone under Node: the app's own modules, a disk of its own, a line of its own. */
import { appFrom } from "../model/load.ts";
import { browserOf } from "./browser.ts";
import { Wire } from "./wire.ts";

export type App = typeof import("./phone.ts");
export type Owner = {
  device_id: string;
  cookie: string;
  person: { id: string; name: string; role: "technician" | "dispatcher" };
};
export type Line = ReturnType<App["lineFor"]>;

export class Device {
  readonly wire: Wire;
  readonly app: App;

  constructor(
    readonly owner: Owner,
    { app, port }: { app: string; port: number },
  ) {
    this.wire = new Wire({ port, cookie: owner.cookie });
    this.app = appFrom<App>(app)(browserOf(this.wire));
  }

  get who() {
    const { id, name, role } = this.owner.person;
    return {
      as: "device" as const,
      principal_id: id,
      role,
      name,
      company_name: "Invented Climate",
    };
  }

  get line(): Line {
    return this.app.lineFor(this.who);
  }

  async enter(): Promise<this> {
    await this.app.adoptDevice(this.line.store, this.owner.device_id);
    await this.app.enterSession(this.who);
    return this;
  }

  async push(): Promise<void> {
    mustBe("done", await this.app.push(this.line));
    mustBe(0, await this.line.store.attention.count());
  }

  async pull(): Promise<void> {
    mustBe("done", await this.app.pull(this.line));
  }
}

/** A figure of something that did not happen is worth nothing. */
export function mustBe<T>(wanted: T, found: T): void {
  if (wanted !== found) {
    throw new Error(`${String(wanted)} was expected, it was ${String(found)}`);
  }
}

/** [ms] */
export async function timed(work: () => Promise<unknown>): Promise<number> {
  const began = performance.now();
  await work();
  return performance.now() - began;
}
