/** As much of Node as the model test uses; the app itself knows nothing of it. */
declare module "node:crypto" {
  type Hash = {
    update: (data: Uint8Array | string) => Hash;
    digest: { (): Uint8Array; (as: "hex"): string };
  };
  export function createHash(kind: "sha256"): Hash;
}
declare module "node:fs" {
  export function readFileSync(path: string, encoding: "utf8"): string;
}
declare module "node:util" {
  export function isDeepStrictEqual(a: unknown, b: unknown): boolean;
}
declare module "node:vm" {
  type Made = (...given: unknown[]) => unknown;
  export function compileFunction(code: string, names: string[], about: { filename: string }): Made;
}
declare module "node:http" {
  import type { Buffer } from "node:buffer";

  type Answer = {
    statusCode: number;
    headers: Record<string, string>;
    on: {
      (event: "data", heard: (part: Buffer) => void): void;
      (event: "end", heard: () => void): void;
      (event: "error", heard: (problem: Error) => void): void;
    };
  };
  type Sent = {
    on: (event: "error", heard: (problem: Error) => void) => void;
    end: (body?: Buffer) => void;
  };
  export class Agent {
    constructor(how: { keepAlive: boolean; maxSockets: number });
  }
  export function request(how: object, heard: (answer: Answer) => void): Sent;
}

declare module "node:buffer" {
  export interface Buffer extends Uint8Array<ArrayBuffer> {
    toString(as?: string): string;
    includes(text: string | number): boolean;
  }
  export const Buffer: {
    from: (data: string | ArrayBuffer, as?: "base64") => Buffer;
    concat: (parts: Buffer[]) => Buffer;
  };
}
declare module "node:process" {
  const process: {
    argv: string[];
    exit: (code: number) => never;
    stdout: { write: (text: string, written: () => void) => void };
    on: (event: "unhandledRejection", heard: (problem: unknown) => void) => void;
    off: (event: "unhandledRejection", heard: (problem: unknown) => void) => void;
  };
  export default process;
}
declare module "node:timers" {
  export function setImmediate(task: () => void): void;
}
