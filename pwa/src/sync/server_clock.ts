/**
 * What time it is on the server, as its answers are dated. The phone's own clock may be a year wrong,
 * and jump; what is kept for a number of days is kept by this one.
 */
let heard: { date_ms: number; at_ms: number } | null = null;

/** Of every answer that is surely the server's own: a hotel's sign-in page has a date too. */
export function noteDate(response: Response): void {
  const date_ms = Date.parse(response.headers.get("Date") ?? "");
  if (!Number.isNaN(date_ms)) {
    heard = { date_ms, at_ms: performance.now() };
  }
}

/** Null until the server was heard. In between it goes on with a count that no change of a clock moves. */
export function serverNow(): Date | null {
  return heard && new Date(heard.date_ms + performance.now() - heard.at_ms);
}
