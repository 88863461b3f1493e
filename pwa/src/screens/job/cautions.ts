import { hasText, t } from "../../text";

/** Which caution stands beside which step. Nothing here says that something is safe. */
const STEP_CAUTIONS: Record<string, string[]> = {
  walk_install: ["height"],
  supply: ["supply"],
  power_units: ["electric"],
  unit_settings: ["electric"],
  port_switches: ["electric"],
  joints: ["height"],
  pressure_hold: ["pressure"],
  evacuation: ["vacuum"],
  standing_vacuum: ["vacuum"],
  charge: ["flammable", "pressure"],
  preheat: ["electric"],
  test_run: ["electric"],
  port_check: ["electric"],
};

export function cautionsOf(code: string): string[] {
  return (STEP_CAUTIONS[code] ?? []).flatMap((name) => {
    const key = `caution.${name}`;
    return hasText(key) ? [t(key)] : [];
  });
}
