/**
 * The peer's client: PouchDB under Node, its store in memory like that of the phone under Node.
 *
 * client.mjs PACKAGES PORT OBSERVATIONS PHOTOS. It prints times as a line of JSON.
 */
import { randomUUID } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [packages, port, observations, photos] = process.argv.slice(2);
const require = createRequire(join(packages, "package.json"));
const PouchDB = require("pouchdb");
PouchDB.plugin(require("pouchdb-adapter-memory"));
/** Five to fifty photos in one request took the same time; one by one took three times as long. */
const PHOTOS_AT_ONCE = 10;

const local = (name) => new PouchDB(name, { adapter: "memory" });
const remote = (name) => new PouchDB(`http://127.0.0.1:${port}/${name}`);

async function timed(work) {
  const began = performance.now();
  await work();
  return performance.now() - began;
}

/** A figure of something that did not happen is worth nothing. */
async function mustHold(database, count) {
  const { doc_count } = await database.info();
  if (doc_count !== count) {
    throw new Error(`${count} documents were expected, there are ${doc_count}`);
  }
}

async function documents() {
  const said = JSON.parse(readFileSync(observations, "utf8"));
  const mine = local("mine");
  await mine.bulkDocs(said.map((one) => ({ _id: randomUUID(), ...one })));
  const push_ms = await timed(() => mine.replicate.to(remote("work")));
  await mustHold(remote("work"), said.length);
  const theirs = local("theirs");
  const pull_ms = await timed(() => theirs.replicate.from(remote("work")));
  await mustHold(theirs, said.length);
  return { push_ms, pull_ms, observations: said.length };
}

async function attachments() {
  const mine = local("photos");
  const names = readdirSync(photos);
  for (const name of names) {
    const data = readFileSync(join(photos, name));
    const photo = { content_type: "image/jpeg", data };
    await mine.put({ _id: randomUUID(), kind: "photo", _attachments: { photo } });
  }
  const batch_size = PHOTOS_AT_ONCE;
  const photos_ms = await timed(() => mine.replicate.to(remote("photos"), { batch_size }));
  await mustHold(remote("photos"), names.length);
  return { photos_ms, photos: names.length };
}

await remote("work").info();
await remote("photos").info();
const told = { ...(await documents()), ...(await attachments()) };
console.log(JSON.stringify(told));
process.exit(0);
