/** A day of work at once: observations and photos saved, pushed, and read by a phone that has nothing. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { Device, mustBe, type Owner, timed } from "./device.ts";
import type { Site, Stand } from "./site.ts";

export type Observation = {
  category: string;
  words: string;
  action: string;
  evidence: string;
  stops: ("refrigerant" | "supply")[];
  opensCircuit: boolean;
  whoMustAct: "contractor" | "technician";
};
type Asked = Stand & {
  site: Site;
  writer: Owner;
  reader: Owner;
  /** A file with a list of observations. */
  observations: string;
  /** A folder with photos. */
  photos: string;
};

export async function workload(asked: Asked): Promise<object> {
  const { site, ...stand } = asked;
  const said: Observation[] = JSON.parse(readFileSync(asked.observations, "utf8"));
  const ben = await new Device(asked.writer, stand).enter();
  await ben.pull();
  const save_ms = await timed(() => observe(ben, { site, said }));
  const push_ms = await timed(() => ben.push());
  await ben.pull();
  const other = await new Device(asked.reader, stand).enter();
  const pull_ms = await timed(() => other.pull());
  const rows = await other.line.store.rows.count();
  mustBe(said.length, await other.line.store.rows.where("table").equals("issue").count());
  const photos = await photograph(ben, { site, folder: asked.photos });
  return { save_ms, push_ms, pull_ms, rows, observations: said.length, ...photos };
}

export async function observe(
  phone: Device,
  { site, said }: { site: Site; said: Observation[] },
): Promise<void> {
  for (const one of said) {
    const saved = await phone.app.raiseIssue({ ...one, jobId: site.job_id, unitId: site.unit_id });
    mustBe(true, saved.ok);
  }
}

async function photograph(phone: Device, { site, folder }: { site: Site; folder: string }) {
  const names = readdirSync(folder).toSorted();
  for (const name of names) {
    const photo = aPhoto(`${folder}/${name}`);
    const saved = await phone.app.addPhoto({ jobId: site.job_id, unitId: site.unit_id, photo });
    mustBe(true, saved.ok);
  }
  await phone.push();
  await phone.pull();
  const tell = () => undefined;
  const photos_ms = await timed(async () => {
    mustBe("done", await phone.app.exchangePhotos(phone.line, { tell }));
  });
  mustBe(0, await phone.line.store.photos_full.count());
  return { photos_ms, photos: names.length };
}

/** As the app prepares it, but that no small picture is drawn: there is no screen to show it. */
function aPhoto(path: string) {
  const bytes = readFileSync(path);
  const full = new Blob([bytes], { type: "image/jpeg" });
  return {
    full,
    thumb: new Blob([bytes.slice(0, 1_000)], { type: "image/jpeg" }),
    sha256: createHash("sha256").update(bytes).digest("hex"),
    size_bytes: full.size,
    width_px: 1_280,
    height_px: 960,
    taken_at: new Date().toISOString(),
  };
}
