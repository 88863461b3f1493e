/** What happened, line by line, told so that the same seed tells the same. */
import { createHash } from "node:crypto";
import type { Clock } from "./clock.ts";

const ID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g;

export class Trace {
  readonly lines: string[] = [];
  private readonly names = new Map<string, string>();

  constructor(private readonly clock: Clock) {}

  note(text: string): void {
    this.lines.push(`${(this.clock.now_ms / 1_000).toFixed(3)} ${text.replaceAll(ID, this.name)}`);
  }

  /** Ids are others in each run: they are told in the order in which they were first named. */
  private readonly name = (id: string): string => {
    const known = this.names.get(id) ?? `#${this.names.size + 1}`;
    this.names.set(id, known);
    return known;
  };

  sum(): string {
    return createHash("sha256").update(this.lines.join("\n")).digest("hex").slice(0, 16);
  }
}
