/** Which numbers of a result stand large above its reasons, in this order. */
const FIGURES: Record<string, string[]> = {
  supply_power: ["current_unbalance_pct"],
  saturation: ["bubble_c", "dew_c", "bubble_pa", "dew_pa", "liquid_density_kg_m3"],
  superheat: ["superheat_k", "saturation_c"],
  subcooling: ["subcooling_k", "saturation_c"],
  barometer: ["barometer_pa"],
  room_limit: ["concentration_kg_m3", "allowed_kg", "smallest_room_m3"],
  extra_charge: ["mass_kg", "factor_mass_kg", "difference_kg"],
  air_side: ["total_w", "sensible_w", "shr", "condensate_kg_s"],
  pressure_hold: ["residual_pa"],
  vacuum_stand: ["plateau_pa"],
};

export function figuresOf(calculation: string, outputs: Record<string, unknown>): string[] {
  return (FIGURES[calculation] ?? []).filter((name) => typeof outputs[name] === "number");
}
