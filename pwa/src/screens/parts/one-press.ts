import { brokenOff, type Result } from "../../local/result";

/**
 * One press, one deed: a second press while it is under way, or while what it changed is on its way to the
 * screen, does nothing and is answered with null. What could not be done, or broke off, can be pressed again.
 */
export function onePress() {
  let hasBegun = false;
  return async (deed: () => Promise<Result>): Promise<Result | null> => {
    if (hasBegun) return null;
    hasBegun = true;
    const done = await deed().catch(brokenOff);
    hasBegun = done.ok;
    return done;
  };
}
