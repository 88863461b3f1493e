// The client that the phone uses, under Node: it uploads in pieces, stops, goes on, and terminates.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const require = createRequire(new URL("../../../pwa/package.json", import.meta.url));
const { Upload } = require("tus-js-client");

const asked = JSON.parse(process.argv[2]);
const file = readFileSync(asked.file);

function open(photo_id, more) {
  return new Promise((resolve, reject) => {
    const upload = new Upload(file, {
      endpoint: asked.endpoint,
      metadata: { photo_id },
      headers: asked.headers,
      chunkSize: 64 * 1024,
      uploadDataDuringCreation: true,
      storeFingerprintForResuming: false,
      retryDelays: null,
      onError: reject,
      onSuccess: () => resolve({ upload, stopped_at: file.length }),
      onChunkComplete: (_size, accepted) => {
        if (more.stopAfter && accepted >= more.stopAfter) {
          upload.abort().then(() => resolve({ upload, stopped_at: accepted }), reject);
        }
        more.onAccepted?.(accepted);
      },
      ...more.options,
    });
    upload.start();
  });
}

const stopped = await open(asked.photo, { stopAfter: 150_000 });
const steps = [];
await open(asked.photo, {
  options: { uploadUrl: stopped.upload.url, uploadDataDuringCreation: false },
  onAccepted: (accepted) => steps.push(accepted),
});

const ended = await open(asked.other, { stopAfter: 150_000 });
await Upload.terminate(ended.upload.url, { headers: asked.headers, retryDelays: null });
const answer = await fetch(ended.upload.url, {
  method: "HEAD",
  headers: { ...asked.headers, "Tus-Resumable": "1.0.0" },
});

process.stdout.write(
  JSON.stringify({
    stopped_at: stopped.stopped_at,
    went_on_from: steps[0] - 64 * 1024,
    after_the_end: answer.status,
  }),
);
