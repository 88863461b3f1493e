/** What every person did, as it came to lie on the disk of their phone. */
import type { OutboxRecord, OverlayRecord, UploadRecord } from "../../local/records";
import type { Result } from "../../local/result";
import type { Deed } from "./deeds.ts";
import type { Device } from "./device.ts";
import type { Disk } from "./disk.ts";

export type Written = OutboxRecord & { by: Device };

type Compared = Pick<Deed, "count" | "says"> & { said: Result | undefined };

/** Why an honest phone may say no: its disk is full, or the row has gone since it was looked at. */
const HONEST = new Set(["disk_full", "not_found"]);

export class Journal {
  readonly written = new Map<string, Written>();
  /** What was on a disk that is no more: the server has it, or nobody. */
  readonly perhaps = new Set<string>();
  /** Of these, what the server had by then: no phone needs to know of it any more. */
  private readonly safe = new Set<string>();
  /** Cards that their author has sent again or given up. */
  readonly dealtWith = new Set<string>();
  readonly problems: string[] = [];
  saved = 0;
  refused = 0;

  /** What is new in the outbox. Nothing can have left it: the phone has stood still since. */
  look(device: Device): Written[] {
    const photos = new Set([...this.written.values()].map(({ entity }) => entity));
    const rows = device.read<OutboxRecord>("outbox").filter(({ id }) => !this.written.has(id));
    const fresh = rows
      .toSorted((a, b) => a.job_id.localeCompare(b.job_id) || a.seq - b.seq)
      .map((row) => ({ ...row, by: device }));
    for (const one of fresh) {
      this.written.set(one.id, one);
    }
    // Sent again from another phone of its author, a photo has its bytes where it was taken.
    this.checkWhole(
      device,
      fresh.filter(({ entity }) => !photos.has(entity)),
    );
    return fresh;
  }

  /** The phone's disk is about to be another one, that may not know all of this; the server may have it already. */
  doubt(device: Device, { disk, received }: { disk: Disk; received: Set<string> }): void {
    const known = new Set(
      ["outbox", "receipts"].flatMap((store) =>
        device.readFrom<{ id: string }>(disk, store).map(({ id }) => id),
      ),
    );
    for (const { id, by } of this.written.values()) {
      if (by === device && !known.has(id)) {
        this.perhaps.add(id);
        if (received.has(id)) {
          this.safe.add(id);
        }
      }
    }
  }

  /**
   * What was perhaps lost, and did not reach the server, never was; but for what the server had when the disk went,
   * and has not lost itself. Nor was what a restored server knows no more and its author had dealt with: that is not
   * said again.
   */
  settle(received: Set<string>, { isRestored }: { isRestored: boolean }): void {
    const lost = new Set([...this.perhaps].filter((id) => isRestored || !this.safe.has(id)));
    // What hangs on a card is sent again with it; the card is back where the disk that knew of that is no more.
    const again = [...this.written.values()].filter(({ id }) => !lost.has(id) || received.has(id));
    const dealtWith = [...this.dealtWith, ...again.flatMap(({ replaces }) => replaces ?? [])];
    for (const id of [...lost, ...(isRestored ? dealtWith : [])]) {
      if (!received.has(id)) {
        this.written.delete(id);
      }
    }
  }

  /** All of a deed or nothing of it: what is sent, what is shown, and the photo. */
  private checkWhole(device: Device, fresh: Written[]): void {
    const shown = new Set(device.read<OverlayRecord>("overlay").map((one) => one.mutation_id));
    const photos = new Set(device.read<{ id: string }>("photos_full").map(({ id }) => id));
    const uploads = new Set(device.read<UploadRecord>("uploads").map(({ id }) => id));
    for (const { id, type, entity } of fresh) {
      if (!shown.has(id)) {
        this.problems.push(`${device.name}: ${type} waits and does not show`);
      }
      if (type === "photo.add" && !(photos.has(entity) && uploads.has(entity))) {
        this.problems.push(`${device.name}: a photo is announced without its bytes`);
      }
    }
  }

  /** What the phone said of a deed, and what was typed, beside what is on its disk. */
  compare(device: Device, { said, count, says }: Compared): Written[] {
    const fresh = this.look(device);
    if (said?.ok) {
      this.saved += 1;
      if (fresh.length < count) {
        this.problems.push(
          `${device.name} said "saved", and ${fresh.length} of ${count} are on disk`,
        );
      } else if (says && !fresh.some(({ fields }) => Object.values(fields).includes(says))) {
        this.problems.push(`${device.name} said "saved", and ${says} is not on disk`);
      }
    } else if (said) {
      this.refused += 1;
      if (fresh.length > 0 || !HONEST.has(said.code)) {
        this.problems.push(`${device.name} said ${said.code} and wrote ${fresh.length}`);
      }
    } else if (device.tabs.length > 0) {
      this.problems.push(`${device.name} never ended a deed`);
    }
    return fresh;
  }
}
