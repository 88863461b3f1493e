/** Each test file runs on a phone with an empty disk, in an app that has just begun; what nobody expected fails the test. */
import "fake-indexeddb/auto";
import Dexie from "dexie";
import { IDBFactory } from "fake-indexeddb";
import { vi } from "vitest";

// One thread runs many files, which share the libraries and nothing of the app.
globalThis.indexedDB = new IDBFactory();
Dexie.dependencies.indexedDB = globalThis.indexedDB;
vi.resetModules();
vi.useRealTimers();
vi.unstubAllGlobals();

globalThis.reportError ??= (problem: unknown) => {
  queueMicrotask(() => {
    throw problem;
  });
};
