import {
  isClearedHere,
  isOver,
  lastCleared,
  type Room,
  readDraft,
  readDraftPhotos,
  saveDraft,
  saveDraftPhotos,
  tellBegun,
  turnOf,
} from "../../actions/drafts";
import { isSame, laidOver } from "../../local/draft_merge";
import { photosLaidOver } from "../../local/draft_photos";
import type { PreparedPhoto } from "../../photo/prepare";

export type Part<T> = Partial<T> | ((now: T) => Partial<T>);
type WithPhotos = { photos?: PreparedPhoto[] };
type Rooms = { words: Room; photos: Room };
type Change<T> = { before: T; now: T };

/** Photos are kept beside the words, not among them. */
function parted(value: object): { words: object; photos: PreparedPhoto[] } {
  const { photos = [], ...words } = value as WithPhotos;
  return { words, photos };
}

function merged<T extends object>(stored: T, change: Change<T>): T {
  const [from, before, now] = [stored, change.before, change.now].map(parted) as [
    ReturnType<typeof parted>,
    ReturnType<typeof parted>,
    ReturnType<typeof parted>,
  ];
  const words = laidOver(from.words, { before: before.words, now: now.words });
  const photos = photosLaidOver(from.photos, { before: before.photos, now: now.photos });
  return { ...words, ...("photos" in change.now ? { photos } : {}) } as T;
}

/**
 * One half-written entry as one tab holds it. Another tab may have the same one open: each writes only what
 * was changed in it, and shows what the other changed. Where the other saved it, the form is empty here too,
 * and what is typed from then on is a new one.
 */
export class DraftInTab<T extends object> {
  value: T;
  /** False until the phone has looked for an earlier draft: nothing typed before is overwritten. */
  ready = false;
  rooms: Rooms = { words: "kept", photos: "kept" };
  tell: () => void = () => undefined;
  /** What is stored, as far as this tab knows: what differs from it was done here and is still to be kept. */
  private kept: T;
  private empty: T;
  private turn = 0;
  private pending = 0;
  /** When it was last changed here: what was saved since is not written again. */
  private changedAt = 0;
  /** One write after the other: what is set back while an earlier one is under way differs from that. */
  private writes: Promise<void> = Promise.resolve();

  constructor(
    readonly key: string,
    { empty }: { empty: T },
  ) {
    this.value = empty;
    this.kept = empty;
    this.empty = empty;
  }

  /** What the form begins with may be known a moment later: the reading that was just saved. */
  beginWith(empty: T): void {
    const isUntouched = isSame(this.value, this.empty) && isSame(this.kept, this.empty);
    this.empty = empty;
    if (isUntouched && !isSame(this.value, empty)) {
      this.value = empty;
      this.kept = empty;
      this.tell();
    }
  }

  async change(part: Part<T>): Promise<void> {
    const changed = typeof part === "function" ? part(this.value) : part;
    this.value = { ...this.value, ...changed };
    this.turn += 1;
    this.changedAt = turnOf(this.key);
    this.tell();
    await this.write(changed);
    await this.look();
  }

  /** What had no room is kept once there is; not what was saved since, which stands on the screen still. */
  async keepAgain(): Promise<void> {
    const { words, photos } = parted(this.value);
    const left = {
      ...(this.rooms.words === "full" ? words : {}),
      ...(this.rooms.photos === "full" ? { photos } : {}),
    };
    // Only that: what is written is told to whoever follows the draft, this tab among them.
    const isLeft = Object.keys(left).length > 0 && !isOver(this.key, this.changedAt);
    if (isLeft && this.pending === 0) await this.write(left);
    await this.look();
  }

  private async write(changed: object): Promise<void> {
    this.pending += 1;
    const { value, changedAt: turn } = this;
    const done = this.writes.then(() => this.keep(changed, { value, turn }));
    this.writes = done.catch(() => undefined);
    try {
      await done;
    } finally {
      this.pending -= 1;
      this.tell();
    }
  }

  /** What is stored by now; where something is being written here, that looks again when it is done. */
  async look(): Promise<void> {
    if (this.pending > 0) return;
    this.turn += 1;
    const { turn } = this;
    const cleared = lastCleared(this.key);
    const known = [...parted(this.value).photos, ...parted(this.kept).photos];
    const words = await readDraft<Partial<T>>(this.key);
    const photos = await readDraftPhotos(this.key, { known });
    if (turn !== this.turn) return;
    // One save may lie between the two: its words are still there, and its photos no more.
    if (cleared !== lastCleared(this.key)) return await this.look();
    const isBegun = words !== undefined || photos !== undefined;
    this.take(isBegun ? { ...this.empty, ...words, ...(photos ? { photos } : {}) } : undefined);
  }

  private take(found: T | undefined): void {
    const before = this.value;
    if (found) tellBegun(this.key);
    if (found || !isClearedHere(this.key)) {
      const stored = found ?? this.empty;
      this.value = merged(stored, { before: this.kept, now: this.value });
      this.kept = stored;
    } else if (isOver(this.key, this.changedAt)) {
      // All that stands on the screen was saved.
      this.kept = this.value;
    }
    if (!this.ready || !isSame(before, this.value)) {
      this.ready = true;
      this.tell();
    } else {
      this.value = before;
    }
  }

  private async keep(changed: object, { value, turn }: { value: T; turn: number }): Promise<void> {
    const [now, before] = [parted(value), parted(this.kept)];
    const empty = parted(this.empty).words;
    const names = Object.keys(changed);
    const [words, photos] = await Promise.all([
      names.some((name) => name !== "photos")
        ? saveDraft(this.key, now.words, { before: before.words, empty, turn })
        : undefined,
      names.includes("photos")
        ? saveDraftPhotos(this.key, now.photos, { before: before.photos, turn })
        : undefined,
    ]);
    if (isOver(this.key, turn)) {
      // It was saved, whether it was written or not: what is changed from there on is a new entry.
      this.kept = value;
      return;
    }
    this.rooms = { words: words ?? this.rooms.words, photos: photos ?? this.rooms.photos };
    if (words === "kept") this.kept = { ...this.kept, ...now.words };
    if (photos === "kept") this.kept = { ...this.kept, photos: now.photos };
  }
}
