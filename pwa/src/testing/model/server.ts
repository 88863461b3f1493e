/** The real server on loopback, and the desk beside it that knows its database from outside. */
import { Buffer } from "node:buffer";
import { overHttp } from "../over_http.ts";
import type { Reply } from "./network.ts";

export type Ask = {
  who: { cookie: string };
  method: string;
  path: string;
  headers: Record<string, string>;
  body: Buffer | null;
};
export type Asker = (asked: Ask) => Promise<Reply>;

const COOKIE = "__Host-flarenut_device";

export function serverOn(port: number): Asker {
  return async ({ who, method, path, headers, body }) => {
    const length = { "Content-Length": String(body?.length ?? 0) };
    const all = {
      ...headers,
      ...length,
      Cookie: `${COOKIE}=${who.cookie}`,
      Host: "flarenut.example",
    };
    return await overHttp({ port, method, path, headers: all, body });
  };
}

export type Desk = <T>(path: string, said: object) => Promise<T>;

export function deskOn(port: number): Desk {
  return async <T>(path: string, said: object) => {
    const body = Buffer.from(JSON.stringify(said));
    const headers = { "Content-Length": String(body.length) };
    const reply = await overHttp({ port, method: "POST", path, headers, body });
    if (reply.status !== 200) {
      throw new Error(`${path}: ${reply.body.toString()}`);
    }
    return JSON.parse(reply.body.toString()) as T;
  };
}
