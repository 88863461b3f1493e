/** A request over Node's own sockets, as whole as it went and came. */
import { Buffer } from "node:buffer";
import { Agent, request } from "node:http";
import { gunzipSync } from "node:zlib";
import type { Reply } from "./model/network.ts";

/** As many as a browser opens to one server. */
const agent = new Agent({ keepAlive: true, maxSockets: 6 });

type Asked = {
  port: number;
  method: string;
  path: string;
  headers: Record<string, string>;
  body: Buffer | null;
};

export function overHttp({ body, ...how }: Asked): Promise<Reply> {
  return new Promise((resolve, reject) => {
    const sent = request({ host: "127.0.0.1", agent, ...how }, (answer) => {
      const parts: Buffer[] = [];
      answer.on("data", (part: Buffer) => parts.push(part));
      answer.on("error", reject);
      answer.on("end", () => {
        const headers = answer.headers as Record<string, string>;
        const whole = Buffer.concat(parts);
        const isPacked = headers["content-encoding"] === "gzip";
        const unpacked = isPacked ? gunzipSync(whole) : whole;
        resolve({ status: answer.statusCode, headers, body: unpacked });
      });
    });
    sent.on("error", reject);
    sent.end(body ?? undefined);
  });
}
