/** Each test file runs on a phone with an empty disk; what nobody expected fails the test. */
import "fake-indexeddb/auto";

globalThis.reportError ??= (problem: unknown) => {
  queueMicrotask(() => {
    throw problem;
  });
};
