/** The zone of this device, for what belongs to no site: when something was sent, when a link ends. */
export function hereZone(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC";
}
