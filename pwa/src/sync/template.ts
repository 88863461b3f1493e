/** The empty as-built sheet from the server: a file, so it does not come through `ask`, which reads JSON. */
import { REQUEST_TIMEOUT_MS, type Wire } from "./http";

export type TemplateFormat = "csv" | "xlsx";

/** Null when there was no answer, or none that holds the file. */
export async function fetchTemplate(wire: Wire, format: TemplateFormat): Promise<Blob | null> {
  try {
    const response = await wire.fetch(`/api/as-built/template.${format}`, {
      headers: { "X-Flarenut-As": wire.as },
      credentials: "same-origin",
      signal: AbortSignal.timeout(REQUEST_TIMEOUT_MS),
    });
    return response.ok ? await response.blob() : null;
  } catch {
    return null;
  }
}
