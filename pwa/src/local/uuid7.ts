/**
 * UUIDv7 (RFC 9562, section 5.7) with the 12 bits after the version used as a counter
 * (section 6.2, method 1), so that ids made in one millisecond, or after the clock went back,
 * still sort in the order in which they were made.
 */

const COUNTER_MAX = 0xfff;

let last_ms = 0;
let counter = 0;

function tick(): void {
  const now_ms = Date.now();
  if (now_ms > last_ms) {
    last_ms = now_ms;
    counter = 0;
  } else if (counter < COUNTER_MAX) {
    counter += 1;
  } else {
    last_ms += 1;
    counter = 0;
  }
}

export function uuid7(): string {
  tick();
  const random = crypto.getRandomValues(new Uint8Array(8));
  random[0] = ((random[0] ?? 0) & 0x3f) | 0x80;
  const time = last_ms.toString(16).padStart(12, "0");
  const count = counter.toString(16).padStart(3, "0");
  const rest = Array.from(random, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [
    time.slice(0, 8),
    time.slice(8, 12),
    `7${count}`,
    rest.slice(0, 4),
    rest.slice(4, 16),
  ].join("-");
}
