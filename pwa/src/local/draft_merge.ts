/** Two tabs on one half-written entry: what one of them changed goes over what is stored, and nothing else does. */
type Fields = Record<string, unknown>;
type Change<T> = { before: T; now: T };

function isFields(value: unknown): value is Fields {
  return Object.prototype.toString.call(value) === "[object Object]";
}

const namesIn = (...all: Fields[]) => [...new Set(all.flatMap((one) => Object.keys(one)))];

export function isSame(one: unknown, other: unknown): boolean {
  if (isFields(one) && isFields(other)) {
    return namesIn(one, other).every((name) => isSame(one[name], other[name]));
  }
  return one === other || JSON.stringify(one) === JSON.stringify(other);
}

/** Field by field, and within a field that has names of its own, such as the numbers of a check, name by name. */
export function laidOver<T extends object>(stored: T, { before, now }: Change<T>): T {
  return byName(stored as Fields, {
    before: before as Fields,
    now: now as Fields,
    inner: (value, change) =>
      isFields(value) && isFields(change.now)
        ? byName(value, {
            before: isFields(change.before) ? change.before : {},
            now: change.now,
            inner: (_value, one) => one.now,
          })
        : change.now,
  }) as T;
}

type ByName = Change<Fields> & {
  inner: (value: unknown, change: Change<unknown>) => unknown;
};

function byName(stored: Fields, { before, now, inner }: ByName): Fields {
  const result = { ...stored };
  for (const name of namesIn(before, now)) {
    const change = { before: before[name], now: now[name] };
    if (!(name in now)) delete result[name];
    else if (!isSame(change.before, change.now)) result[name] = inner(stored[name], change);
  }
  return result;
}
