/**
 * The page's security policy lets no string become a script. The only scripts that the app starts by
 * address are its own workers and its service worker, and this is the one place that vouches for
 * them: an address of our own origin, and nothing else.
 */

type Policy = { createScriptURL: (url: string) => unknown };
type Factory = {
  createPolicy: (name: string, rules: { createScriptURL: (url: string) => string }) => Policy;
};

const NAME = "flarenut";

function ownScript(url: string): string {
  const whole = new URL(url, location.href);
  if (whole.origin !== location.origin) {
    throw new TypeError(`not a script of this app: ${whole.origin}`);
  }
  return whole.href;
}

const factory = (globalThis as { trustedTypes?: Factory }).trustedTypes;
const policy = factory?.createPolicy(NAME, { createScriptURL: ownScript });

/** The type says string, since the platform's constructors are typed so; it may be a TrustedScriptURL. */
export function scriptUrl(url: string): string {
  return policy ? (policy.createScriptURL(url) as string) : ownScript(url);
}

export function startWorker(url: string): Worker {
  return new Worker(scriptUrl(url), { type: "module" });
}
