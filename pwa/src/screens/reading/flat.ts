/** A result of the engine as a list of single values, each with its path: `lines[0].mass_kg`. */

export type FlatValue = { path: string; value: string | number | boolean | null };

/** Told as sentences instead. */
const TOLD = new Set(["verdict", "reasons", "next", "cautions"]);

function flattened(value: unknown, path: string): FlatValue[] {
  if (Array.isArray(value)) {
    return value.flatMap((one, at) => flattened(one, `${path}[${at}]`));
  }
  if (typeof value === "object" && value !== null) {
    return Object.entries(value).flatMap(([name, one]) =>
      flattened(one, path ? `${path}.${name}` : name),
    );
  }
  return [{ path, value: (value ?? null) as FlatValue["value"] }];
}

/** By name, because the engine does not keep the order of its fields. */
export function flatValues(values: Record<string, unknown> | null): FlatValue[] {
  const told = Object.entries(values ?? {}).filter(([name]) => !TOLD.has(name));
  const order = new Intl.Collator("en", { numeric: true });
  return flattened(Object.fromEntries(told), "").sort((a, b) => order.compare(a.path, b.path));
}
