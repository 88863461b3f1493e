/** The line of one phone to the real server, over Node's own sockets; it can be cut and healed. */
import { Buffer } from "node:buffer";
import type { Exchange, Reply, Sending } from "../model/network.ts";
import { overHttp } from "../over_http.ts";

const COOKIE = "__Host-flarenut_device";
type Asked = Pick<Sending, "method" | "path" | "headers"> & { body: Buffer | null };

export class Wire {
  private isCut = false;
  private readonly open = new Set<Sending>();

  constructor(private readonly to: { port: number; cookie: string }) {}

  send(sending: Sending): Exchange {
    this.open.add(sending);
    void this.exchange(sending);
    return { leave: () => this.open.delete(sending) };
  }

  /** Whatever is under way ends without an answer, and what sets out now does not get through. */
  cut(): void {
    this.isCut = true;
    for (const sending of [...this.open]) {
      this.end(sending, sending.fail);
    }
  }

  heal(): void {
    this.isCut = false;
  }

  private async exchange(sending: Sending): Promise<void> {
    const { method, path, headers, body } = sending;
    const bytes = body instanceof Blob ? Buffer.from(await body.arrayBuffer()) : body;
    try {
      const reply = this.isCut ? null : await this.ask({ method, path, headers, body: bytes });
      this.end(sending, reply && !this.isCut ? () => sending.answer(reply) : sending.fail);
    } catch {
      this.end(sending, sending.fail);
    }
  }

  private end(sending: Sending, how: () => void): void {
    if (this.open.delete(sending)) {
      how();
    }
  }

  private ask({ body, ...asked }: Asked): Promise<Reply> {
    const { port, cookie } = this.to;
    const headers = {
      ...asked.headers,
      Host: "flarenut.example",
      Cookie: `${COOKIE}=${cookie}`,
      "Accept-Encoding": "gzip",
      "Content-Length": String(body?.length ?? 0),
    };
    return overHttp({ ...asked, port, headers, body });
  }
}
