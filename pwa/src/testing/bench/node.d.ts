/** As much of Node as the measurements use, beyond what the model test uses. */
declare module "node:fs" {
  import type { Buffer } from "node:buffer";

  export function readFileSync(path: string): Buffer;
  export function readdirSync(path: string): string[];
}
declare module "node:zlib" {
  import type { Buffer } from "node:buffer";

  export function gunzipSync(packed: Buffer): Buffer;
}
