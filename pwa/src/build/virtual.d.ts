declare module "virtual:catalogue" {
  import type { Messages } from "@lingui/core";
  export const catalogue: Messages;
}

/** A part of its own: text/checks.ts and such. */
declare module "virtual:catalogue/*" {
  import type { Messages } from "@lingui/core";
  export const catalogue: Messages;
}

declare module "virtual:engine" {
  /** File name to text: deploy/pack_engine.py. */
  export const engine: Record<string, string>;
}

/** Put in by vite.config.ts from package.json. */
declare const __APP_VERSION__: string;
