/** Numbers that look drawn by lot and are the same for the same seed (sfc32, public domain). */
/** What is to come more often than usual comes so many times as often. */
const OFTEN = 10;

export function favour<Kind extends string>(
  weights: Record<Kind, number>,
  often: string[],
): Record<Kind, number> {
  const changed = Object.entries<number>(weights).map(([kind, weight]) => [
    kind,
    often.includes(kind) ? weight * OFTEN : weight,
  ]);
  return Object.fromEntries(changed);
}

export class Chance {
  private a: number;
  private b: number;
  private c: number;
  private d = 1;

  constructor(seed: string) {
    [this.a, this.b, this.c] = [hashOf(`${seed}/a`), hashOf(`${seed}/b`), hashOf(`${seed}/c`)];
    for (let turn = 0; turn < 12; turn += 1) {
      this.word();
    }
  }

  word(): number {
    const t = (((this.a + this.b) | 0) + this.d) | 0;
    this.d = (this.d + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = (((this.c << 21) | (this.c >>> 11)) + t) | 0;
    return t >>> 0;
  }

  /** From 0 up to, and not including, 1. */
  part(): number {
    return this.word() / 2 ** 32;
  }

  /** A whole number from `from` to `to`, both included. */
  whole(from: number, to: number): number {
    return from + Math.floor(this.part() * (to - from + 1));
  }

  happens(percent: number): boolean {
    return this.part() * 100 < percent;
  }

  oneOf<T>(all: readonly T[]): T {
    const one = all[Math.floor(this.part() * all.length)];
    if (one === undefined) {
      throw new Error("there is nothing to choose from");
    }
    return one;
  }

  /** One name; each is drawn as often as its weight says. */
  weighted<T extends string>(weights: Record<T, number>): T {
    const names = Object.keys(weights) as T[];
    let left = this.part() * names.reduce((sum, name) => sum + weights[name], 0);
    for (const name of names) {
      left -= weights[name];
      if (left < 0) {
        return name;
      }
    }
    return names[0] as T;
  }
}

function hashOf(text: string): number {
  let hash = 0x811c9dc5;
  for (const letter of text) {
    hash = Math.imul(hash ^ (letter.codePointAt(0) ?? 0), 0x01000193);
  }
  return hash >>> 0;
}
