/** Rows as they come out of the database, without sync: fetched, unpacked and read. */

import { overHttp } from "../over_http.ts";
import { timed } from "./device.ts";

export async function readStream({ port }: { port: number }): Promise<object> {
  let rows = 0;
  const ms = await timed(async () => {
    const asked = { port, method: "GET", path: "/", headers: {}, body: null };
    const lines = (await overHttp(asked)).body.toString().trimEnd().split("\n");
    rows = lines.map((line) => JSON.parse(line)).length;
  });
  return { ms, rows };
}
