/** A disk as a backup has it: nothing that is written on one later is on the other. */

type Bound = { processTransactions?: unknown };

/** All that hangs on it, but for bytes, which nobody changes. */
export function deepCopy<T>(original: T, known = new Map<object, object>()): T {
  if (typeof original !== "object" || original === null || isOfBytes(original)) {
    return original;
  }
  const before = known.get(original);
  if (before) {
    return before as T;
  }
  const copy = emptyLike(original);
  known.set(original, copy);
  fill(copy, { original, known });
  return copy as T;
}

function isOfBytes(thing: object): boolean {
  return thing instanceof Blob || thing instanceof ArrayBuffer || ArrayBuffer.isView(thing);
}

function emptyLike(thing: object): object {
  if (thing instanceof Map) return new Map();
  if (thing instanceof Set) return new Set();
  if (thing instanceof Date) return new Date(thing);
  return Array.isArray(thing) ? [] : Object.create(Object.getPrototypeOf(thing));
}

type Source = { original: object; known: Map<object, object> };

function fill(copy: object, { original, known }: Source): void {
  if (original instanceof Map && copy instanceof Map) {
    for (const [key, value] of original) {
      copy.set(key, deepCopy(value, known));
    }
  } else if (original instanceof Set && copy instanceof Set) {
    for (const value of original) {
      copy.add(deepCopy(value, known));
    }
  }
  for (const [name, value] of Object.entries(original)) {
    (copy as Record<string, unknown>)[name] = deepCopy(value, known);
  }
  rebind(copy as Bound);
}

/** A database's own function that knows to which database it belongs. */
function rebind(copy: Bound): void {
  if (Object.hasOwn(copy, "processTransactions")) {
    const { processTransactions } = Object.getPrototypeOf(copy);
    copy.processTransactions = processTransactions.bind(copy);
  }
}
