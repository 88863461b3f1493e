/** The language that numbers and days are written in: the phone's own, English words around it. */
export function locale(): string {
  return typeof navigator === "undefined" ? "en-GB" : (navigator.language ?? "en-GB");
}
