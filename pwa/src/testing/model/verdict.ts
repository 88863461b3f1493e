/** After all faults: what must be true of every phone and of the server, whatever happened. */
import { isDeepStrictEqual } from "node:util";
import type { AttentionRecord, UploadRecord } from "../../local/records";
import { firstDifference, type Row, readPull, sumOf } from "./comparing.ts";
import type { Device } from "./device.ts";
import { isOnItsWay } from "./healing.ts";
import { lastWords, linesOf } from "./last_words.ts";
import { takenOnce } from "./repeats.ts";
import type { World } from "./world.ts";

export type Receipt = {
  id: string;
  device_id: string;
  job_id: string;
  seq: number;
  outcome: string;
  rev: number;
  isLate?: boolean;
};
type Aside = {
  id: string;
  fields: object | null;
  is_settled: boolean;
  person_id: string;
  /** Where it was taken after all: by itself, once what it lacked was there, or sent again. */
  taken_rev: number | null;
  /** A photo whose bytes the store has from before a restore: sent again, it has them. */
  is_kept: boolean;
};
export type Truth = {
  jobs: { id: string; rev: number }[];
  receipts: Receipt[];
  aside: Aside[];
  counts: Record<string, number>;
  /** `is_kept`: the server finds its bytes in the store by itself, also where its database forgot that they came. */
  photos: { id: string; job_id: string; state: string; is_kept: boolean }[];
  values: Record<string, Record<string, string | null>>;
  lines: [entity: string, words: string, promised_on: string | null][];
};
type Tell = (problem: string) => void;

export async function judge(world: World): Promise<string[]> {
  const problems = [
    ...world.journal.problems,
    ...world.network.problems,
    ...world.devices.flatMap((device) => device.problems),
  ];
  const tell: Tell = (problem) => problems.push(problem);
  const truth = await world.readTruth();
  world.journal.settle(new Set(truth.receipts.map(({ id }) => id)), world);
  checkReceipts(world, truth, tell);
  truth.receipts = asTaken(truth);
  checkLanes(world, truth, tell);
  checkOrder(world, truth, tell);
  checkOnce(world, truth, tell);
  checkLines(world, truth, tell);
  checkLastWords(world, truth, tell);
  for (const device of world.devices) {
    await checkRows(world, { device, tell });
    checkPictures({ device, tell });
    checkAttention(world, { device, truth, tell });
  }
  checkPhotos(world, truth, tell);
  return problems;
}

/** Whatever lay on a disk has its one receipt, and what was not taken is kept whole. */
function checkReceipts({ journal }: World, { receipts, aside }: Truth, tell: Tell): void {
  const kept = new Map(aside.map((one) => [one.id, one]));
  const byId = Map.groupBy(receipts, ({ id }) => id);
  for (const { id, type, by, seq, fields } of journal.written.values()) {
    const [first, second] = byId.get(id) ?? [];
    if (!first || second) {
      tell(`${by.name} ${type} ${seq} has ${second ? "two receipts" : "no receipt"}`);
    } else if (isAside(first) && !isDeepStrictEqual(kept.get(id)?.fields, fields)) {
      tell(`${by.name} ${type} ${seq} was ${first.outcome} and is not kept whole`);
    }
  }
  for (const { id, seq } of receipts.filter((one) => !journal.written.has(one.id))) {
    tell(`the server has a receipt that nobody wrote: ${id} ${seq}`);
  }
}

/** What was set aside and taken later says so in its place. */
function asTaken({ receipts, aside }: Truth): Receipt[] {
  const taken = new Map(aside.map(({ id, taken_rev }) => [id, taken_rev]));
  return receipts.map((one) => {
    const rev = isAside(one) && taken.get(one.id);
    return rev ? { ...one, outcome: "applied", rev, isLate: true } : one;
  });
}

export function isAside({ outcome }: Receipt): boolean {
  return outcome === "refused" || outcome === "set_aside";
}

/**
 * Dense from 1 in each lane, in the order of writing. Phones that take each other's numbers begin new lanes, and
 * what a restored server is offered again takes other numbers.
 */
function checkLanes(
  { journal, isCopied, isRestored }: World,
  { receipts }: Truth,
  tell: Tell,
): void {
  const written = [...journal.written.values()];
  if (isCopied || isRestored) {
    return;
  }
  for (const [lane, all] of Map.groupBy(receipts, (one) => `${one.device_id} ${one.job_id}`)) {
    const sent = all.toSorted((a, b) => a.seq - b.seq);
    const [device_id, job_id] = lane.split(" ");
    const wanted = written.filter(
      (one) => one.job_id === job_id && one.by.owner.device_id === device_id,
    );
    if (
      !isDeepStrictEqual(
        sent.map(({ id }) => id),
        wanted.map(({ id }) => id),
      )
    ) {
      tell(`the lane of ${wanted[0]?.by.name} is out of order or has holes`);
    }
  }
}

/**
 * Of each phone on each job, applied in the order of writing; but for what its disk has forgotten since. A phone that
 * lost its number to a copy sends what is new before it learns that the server was restored, and what that lost after.
 */
function checkOrder(
  { journal, isCopied, isRestored }: World,
  { receipts }: Truth,
  tell: Tell,
): void {
  if (isCopied && isRestored) {
    return;
  }
  const { shared } = takenOnce(receipts, journal.written);
  const inOrder = receipts.filter((one) => !isAside(one) && !shared.has(one) && !one.isLate);
  const revs = new Map(inOrder.map(({ id, rev }) => [id, rev]));
  const written = [...journal.written.values()].filter(({ id }) => !journal.perhaps.has(id));
  for (const all of Map.groupBy(written, (one) => `${one.by.name} ${one.job_id}`).values()) {
    const applied = all.flatMap(({ id }) => revs.get(id) ?? []);
    if (applied.some((rev, place) => place > 0 && rev <= (applied[place - 1] ?? 0))) {
      tell(`the lane of ${all[0]?.by.name} was applied out of order`);
    }
  }
}

const MAKES: Record<string, RegExp> = {
  issue: /^issue\.raise$/,
  issue_event: /^issue\./,
  reading: /^reading\.record$/,
  photo: /^photo\.add$/,
  visit: /^visit\.plan$/,
};

/** Every deed that was taken moved its job by one, and made its rows once. */
function checkOnce({ journal, bumps }: World, truth: Truth, tell: Tell): void {
  const { deeds: taken, twice } = takenOnce(truth.receipts, journal.written);
  for (const { id } of twice) {
    tell(`${journal.written.get(id)?.type} was sent again and done twice`);
  }
  for (const { id, rev } of truth.jobs) {
    const deeds = taken.filter((one) => one.job_id === id).length;
    const photos = truth.photos.filter(
      (one) => one.job_id === id && one.state !== "pending",
    ).length;
    const wanted = deeds + photos + (bumps.get(id) ?? 0);
    if (rev !== wanted) {
      tell(`a job stands at ${rev} after ${wanted} changes`);
    }
  }
  for (const [table, types] of Object.entries(MAKES)) {
    const wanted = taken.filter(({ id }) => types.test(journal.written.get(id)?.type ?? "")).length;
    if (truth.counts[table] !== wanted) {
      tell(`${truth.counts[table]} rows in ${table}, and ${wanted} deeds that make one`);
    }
  }
}

/** Every line of a history says what its author wrote, word for word. */
function checkLines({ journal }: World, { lines, receipts }: Truth, tell: Tell): void {
  const { deeds } = takenOnce(receipts, journal.written);
  const wanted = linesOf(deeds, journal.written).toSorted();
  const found = lines.map((one) => JSON.stringify(one)).toSorted();
  if (!isDeepStrictEqual(found, wanted)) {
    const strange = found.find((one) => !wanted.includes(one));
    const missing = wanted.find((one) => !found.includes(one));
    tell(`the server has a line ${strange}, and not ${missing}, which was written`);
  }
}

/** The later arrival counts: in the order of receipts, the last who wrote a field is read. */
function checkLastWords({ journal }: World, truth: Truth, tell: Tell): void {
  for (const [key, wanted] of lastWords(truth.receipts, journal.written)) {
    const [entity = "", field = ""] = key.split(" ");
    const found = truth.values[entity]?.[field];
    if (found !== wanted) {
      tell(`${field} of ${entity} is ${found}, and last was written ${wanted}`);
    }
  }
}

/** The same rows as a phone that is bought today, and nothing of a job that is out of sight. */
async function checkRows(
  world: World,
  { device, tell }: { device: Device; tell: Tell },
): Promise<void> {
  const theirs = await readPull(world.around.ask, device);
  const ours = device.read<Row>("rows");
  if (sumOf(ours) !== sumOf(theirs)) {
    tell(`${device.name} holds other rows than the server: ${firstDifference(ours, theirs)}`);
  }
  for (const store of ["outbox", "overlay"]) {
    const left = device.read(store).length;
    if (left > 0) {
      tell(`${device.name} still has ${left} in its ${store}`);
    }
  }
  const jobs = new Set(theirs.map(({ job_id }) => job_id));
  const cursors = device.read<{ job_id: string }>("cursors");
  if (cursors.some(({ job_id }) => !jobs.has(job_id))) {
    tell(`${device.name} knows a job that it may not see`);
  }
}

/** No picture outlives what it is a picture of: a row of a job in sight, or a photo that this phone took. */
function checkPictures({ device, tell }: { device: Device; tell: Tell }): void {
  const named = new Set([
    ...device.read<UploadRecord>("uploads").map(({ id }) => id),
    ...device.read<Row>("rows").flatMap(({ table, id }) => (table === "photo" ? [id] : [])),
  ]);
  for (const store of ["thumbs", "photos_full"]) {
    const left = device.read<{ id: string }>(store).filter(({ id }) => !named.has(id)).length;
    if (left > 0) {
      tell(`${device.name} has ${left} in ${store} of photos that it may not see`);
    }
  }
}

/**
 * What could not be taken lies before its author on each of their phones, until they settle it. What a restored
 * server has forgotten stays on the phone that was told of another's: it may come again.
 */
function checkAttention(
  { journal, isRestored }: World,
  { device, truth, tell }: { device: Device; truth: Truth; tell: Tell },
): void {
  const { principal_id } = device.owner.who;
  const wanted = truth.aside.filter((one) => one.person_id === principal_id && !one.is_settled);
  const listed = new Set(truth.aside.map(({ id }) => id));
  const isForgotten = (id: string) =>
    isRestored && !listed.has(id) && journal.written.get(id)?.by !== device;
  const shown = device
    .read<AttentionRecord>("attention")
    .filter(({ outcome }) => outcome === "refused" || outcome === "set_aside")
    .filter(({ id }) => !isForgotten(id));
  const ids = (all: { id: string }[]) => all.map(({ id }) => id).toSorted();
  if (!isDeepStrictEqual(ids(shown), ids(wanted))) {
    tell(`${device.name} asks attention for ${shown.length}, the server for ${wanted.length}`);
  }
}

/** The bytes of a photo are on the server, or on a phone: on its way where the server waits for them. */
function checkPhotos(
  { devices, journal, isRestored }: World,
  { photos, aside }: Truth,
  tell: Tell,
): void {
  const isThere = (one: Truth["photos"][number]) =>
    one.state === "stored" || (isRestored && one.is_kept);
  const stored = new Set(photos.filter(isThere).map(({ id }) => id));
  const given_up = new Set(devices.flatMap((device) => [...device.given_up]));
  const here = devices.flatMap((device) => device.read<{ id: string }>("photos_full"));
  const safe = new Set([...stored, ...given_up, ...here.map(({ id }) => id)]);
  const kept = new Set(aside.filter((one) => isRestored && one.is_kept).map(({ id }) => id));
  for (const { id, by, entity, type } of journal.written.values()) {
    const isSafe = safe.has(entity) || kept.has(id) || journal.perhaps.has(id);
    if (type === "photo.add" && !isSafe) {
      tell(`${by.name}: the bytes of a photo are nowhere`);
    }
  }
  for (const device of devices) {
    const rows = device.read<Row>("rows").filter(({ fields }) => fields["state"] === "pending");
    const awaited = new Set(rows.filter(({ table }) => table === "photo").map(({ id }) => id));
    const isWaiting = (one: UploadRecord) => isOnItsWay(one) || awaited.has(one.id);
    const waiting = device.read<UploadRecord>("uploads").filter(isWaiting).length;
    if (waiting > 0) {
      tell(`${device.name} still has ${waiting} photos to send`);
    }
  }
}
