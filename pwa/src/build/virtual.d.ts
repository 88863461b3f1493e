declare module "virtual:catalogue" {
  import type { Messages } from "@lingui/core";
  export const catalogue: Messages;
}

/** Put in by vite.config.ts from package.json. */
declare const __APP_VERSION__: string;
