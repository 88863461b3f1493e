import type { Result } from "../local/result";
import { here } from "../sync/api";
import { fetchTemplate, type TemplateFormat } from "../sync/template";

/**
 * Put the empty as-built sheet among this device's downloads. Needs the network; a plain link would
 * not do, because the server wants to hear on whose behalf it is asked.
 */
export async function downloadTemplate(format: TemplateFormat): Promise<Result> {
  const file = await fetchTemplate(here("device"), format);
  if (!file) {
    return { ok: false, code: "offline" };
  }
  const url = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = url;
  link.download = `as-built.${format}`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  return { ok: true, id: format };
}
