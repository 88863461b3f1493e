/** `fetch`, XMLHttpRequest and events for one tab; every request goes over the device's line. */
import { Buffer } from "node:buffer";
import type { Exchange, Reply } from "./network.ts";
import type { Tab } from "./tab.ts";

export class Events {
  private heard = new Map<string, (() => void)[]>();

  on(type: string, heard: () => void): void {
    this.heard.set(type, [...(this.heard.get(type) ?? []), heard]);
  }

  tell(type: string): void {
    for (const heard of this.heard.get(type) ?? []) {
      heard();
    }
  }
}

type Asked = {
  method?: string;
  headers?: Record<string, string>;
  body?: string | null;
  signal?: AbortSignal;
};

export function fetchOf(tab: Tab) {
  return (path: string, { method = "GET", headers = {}, body = null, signal }: Asked = {}) =>
    new Promise((resolve, reject) => {
      const exchange = tab.device.network.send({
        tab,
        method,
        path,
        headers,
        body: body === null ? null : Buffer.from(body),
        answer: (reply) => resolve(responseOf(reply)),
        fail: () => reject(new TypeError("fetch failed")),
      });
      const giveUp = () => {
        exchange.leave();
        reject(new DOMException("", "AbortError"));
      };
      signal?.addEventListener("abort", giveUp);
      if (signal?.aborted) {
        giveUp();
      }
    });
}

function responseOf({ status, headers, body }: Reply) {
  return {
    status,
    ok: status >= 200 && status < 300,
    headers: { get: (name: string) => headers[name.toLowerCase()] ?? null },
    json: async () => JSON.parse(body.toString()),
    blob: async () => new Blob([body], { type: headers["content-type"] ?? "" }),
  };
}

/** As much of it as the upload of photos uses. */
export function requestOf(tab: Tab) {
  return class {
    status = 0;
    responseText = "";
    upload: { onprogress?: (told: object) => void } = {};
    onload?: () => void;
    onerror?: (problem: object) => void;
    private asked = { method: "", path: "" };
    private readonly headers: Record<string, string> = {};
    private heard: Record<string, string> = {};
    private exchange: Exchange | undefined;

    open(method: string, path: string): void {
      this.asked = { method, path };
    }

    setRequestHeader(name: string, value: string): void {
      this.headers[name] = value;
    }

    getResponseHeader(name: string): string | null {
      return this.heard[name.toLowerCase()] ?? null;
    }

    send(body: Blob | null): void {
      const { method, path } = this.asked;
      this.exchange = tab.device.network.send({
        tab,
        method,
        path: new URL(path, "http://phone.invalid").pathname,
        headers: this.headers,
        body,
        answer: (reply) => {
          this.status = reply.status;
          this.heard = reply.headers;
          this.responseText = reply.body.toString();
          this.onload?.();
        },
        fail: () => this.onerror?.({}),
      });
    }

    abort(): void {
      this.exchange?.leave();
    }
  };
}
