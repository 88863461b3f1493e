/**
 * The one way to the engine. Works without signal. Input that cannot be judged and an engine
 * that does not run both come back as typed results; nothing is thrown.
 */
import { startWorker } from "../offline/trusted";
import workerUrl from "./engine.worker?worker&url";
import type { Answer, Question } from "./messages";
import type { Computed, EngineError } from "./types";

/** Start included, on a slow phone; a plan takes well under a second. */
const PATIENCE_MS = 30_000;
/** A worker that died is started again once per question; then the screen is told. */
const TRIES = 2;

type Waiting = {
  question: Question;
  tries: number;
  timer: ReturnType<typeof setTimeout>;
  settle: (told: Answer) => void;
};

const waiting = new Map<number, Waiting>();
let worker: Worker | null = null;
let asked = 0;

export async function compute<T>(name: string, input: object): Promise<Computed<T>> {
  const told = await ask(name, JSON.stringify(input));
  return told.ok ? (JSON.parse(told.text) as Computed<T>) : failed(told.message);
}

/** The engine's version, stored with every reading; empty when the engine does not run. */
export async function engineVersion(): Promise<string> {
  const told = await ask(null, "");
  return told.ok ? told.text : "";
}

function failed(message: string): { ok: false; error: EngineError } {
  return { ok: false, error: { code: "engine_failed", field: "", message, limits: null } };
}

function ask(name: string | null, text: string): Promise<Answer> {
  asked += 1;
  const question: Question = { id: asked, name, text };
  return new Promise((settle) => {
    const timer = setTimeout(() => restart("the engine did not answer"), PATIENCE_MS);
    waiting.set(question.id, { question, tries: 0, timer, settle });
    send(question.id);
  });
}

function send(id: number): void {
  const one = waiting.get(id);
  if (!one) {
    return;
  }
  one.tries += 1;
  try {
    worker ??= started();
    worker.postMessage(one.question);
  } catch (problem) {
    settle({ id, ok: false, message: String(problem) });
  }
}

function started(): Worker {
  const fresh = startWorker(workerUrl);
  fresh.addEventListener("message", (event: MessageEvent<Answer>) => settle(event.data));
  fresh.addEventListener("error", (event) => {
    if (fresh === worker) {
      restart(event.message || "the engine stopped");
    }
  });
  return fresh;
}

function settle(told: Answer): void {
  const one = waiting.get(told.id);
  if (one) {
    waiting.delete(told.id);
    clearTimeout(one.timer);
    one.settle(told);
  }
}

/** Ends the worker and asks all open questions again, those that had their tries excepted. */
function restart(message: string): void {
  worker?.terminate();
  worker = null;
  for (const [id, one] of [...waiting]) {
    clearTimeout(one.timer);
    if (one.tries >= TRIES) {
      settle({ id, ok: false, message });
    } else {
      one.timer = setTimeout(() => restart(message), PATIENCE_MS);
      send(id);
    }
  }
}
