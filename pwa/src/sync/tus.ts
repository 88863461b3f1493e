/** The bytes of one photo by tus 1.0.0. */
import { DetailedError, Upload as TusUpload } from "tus-js-client";
import { silent } from "./http";
import type { Line } from "./line";
import type { SendBytes, Upload, Uploaded } from "./photos";
import { isHeard, patienceFor } from "./silence";

const UPLOADS = "/api/photos/uploads";
/** A cut in a piece loses what the server has not written of it; photos are about 600 kB. (P) */
const PIECE_BYTES = 512 * 1024;
/** What may have left the browser and be on its way still, on a line that is slow. (P) */
const IN_FLIGHT_BYTES = 64 * 1024;
/** As long as the watchdog allows any part of sync to be silent. */
const SILENCE_MS = 30_000;

export const sendBytes: SendBytes = (upload) =>
  new Promise((resolve) => {
    const sending = new Sending(upload, resolve);
    sending.start();
  });

class Sending {
  private readonly upload: TusUpload;
  private readonly wire: Line["wire"];
  private silence: ReturnType<typeof setTimeout> | undefined;
  private progress = new AbortController();
  private readonly patience_ms: number;
  private readonly url: string;

  constructor(
    { photo_id, blob, isResumed, line, onShare }: Upload,
    private readonly resolve: (ended: Uploaded) => void,
  ) {
    this.wire = line.wire;
    this.url = `${UPLOADS}/${photo_id}`;
    this.patience_ms = patienceFor(Math.min(blob.size, IN_FLIGHT_BYTES));
    this.upload = new TusUpload(blob, {
      endpoint: UPLOADS,
      uploadUrl: isResumed ? this.url : null,
      metadata: { photo_id },
      headers: { "X-Flarenut-As": line.wire.as },
      chunkSize: PIECE_BYTES,
      uploadDataDuringCreation: true,
      storeFingerprintForResuming: false,
      // Trying again is the drainer's business: it knows about signal, screens and other work.
      retryDelays: null,
      onProgress: (sent) => {
        onShare?.(sent / blob.size);
        line.wire.alive?.();
        this.listen();
      },
      onSuccess: () => this.end("stored"),
      onError: (problem) => this.end(endedBy(problem)),
    });
  }

  start(): void {
    if (this.wire.signal?.aborted) {
      this.end("later");
      return;
    }
    this.wire.signal?.addEventListener("abort", this.giveUp, { once: true });
    this.listen();
    this.upload.start();
  }

  /** For the next sign of life. */
  private listen(): void {
    this.stopListening();
    this.silence = setTimeout(() => {
      silent.add(this.wire.as);
      this.giveUp();
    }, SILENCE_MS);
    this.lookAfter(this.progress.signal);
  }

  private stopListening(): void {
    clearTimeout(this.silence);
    this.progress.abort();
    this.progress = new AbortController();
  }

  /** When the line is there and this piece is not answered, the server is asked how much of it came. */
  private lookAfter(signal: AbortSignal): void {
    isHeard(this.wire, { after_ms: this.patience_ms, signal })
      .then(async (heard) => (heard ? await this.beginAgain(signal) : undefined))
      .catch(reportError);
  }

  private async beginAgain(signal: AbortSignal): Promise<void> {
    await this.upload.abort();
    if (!signal.aborted) {
      this.upload.url ??= this.url;
      this.upload.start();
      this.lookAfter(signal);
    }
  }

  private readonly giveUp = (): void => {
    void this.upload.abort();
    this.end("later");
  };

  private end(how: Uploaded): void {
    this.stopListening();
    this.wire.signal?.removeEventListener("abort", this.giveUp);
    this.resolve(how);
  }
}

/**
 * 403, 404, 410: the row is refused or no longer ours, which a pull will say; an upload that was only
 * forgotten is made anew at the next try. 400, 413: it is not the photo that was announced.
 */
const NOT_THIS_ONE = new Set([400, 403, 404, 410, 413]);
const NO_ANSWER = 0;
const FIRST_ERROR = 400;

function endedBy(problem: Error | DetailedError): Uploaded {
  const response = problem instanceof DetailedError ? problem.originalResponse : null;
  const status = response?.getStatus() ?? NO_ANSWER;
  if (status === 401) {
    return "signed_out";
  }
  if (NOT_THIS_ONE.has(status)) {
    return "kept";
  }
  // What is no error and yet no answer to an upload comes from a hotel's sign-in page.
  return status >= FIRST_ERROR ? "not_now" : "later";
}
