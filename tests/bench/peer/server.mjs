/**
 * The peer's server: express-pouchdb over PouchDB's own disk store, on loopback.
 *
 * server.mjs PACKAGES FOLDER flushed|as_it_comes. It prints its port. "flushed": what is written is on the disk before
 * the answer leaves, as it is with flarenut; as it comes, PouchDB leaves that to the system.
 */
import { mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [packages, folder, durability] = process.argv.slice(2);
const require = createRequire(join(packages, "package.json"));
const PouchDB = require("pouchdb");
const leveldown = require("leveldown");

/** Every batch is written with `sync`: the store calls fsync before it says that it is done. */
function flushed(location) {
  const store = leveldown(location);
  for (const name of ["_batch", "_put", "_del"]) {
    const write = store[name].bind(store);
    store[name] = (...given) => {
      const done = given.pop();
      const options = given.pop();
      return write(...given, { ...options, sync: true }, done);
    };
  }
  return store;
}
flushed.destroy = leveldown.destroy;

mkdirSync(folder, { recursive: true });
const how = durability === "flushed" ? { db: flushed } : {};
const Kept = PouchDB.defaults({ prefix: `${folder}/`, ...how });
const app = require("express")();
const peer = require("express-pouchdb")(Kept, {
  mode: "minimumForPouchDB",
  inMemoryConfig: true,
  logPath: join(folder, "log.txt"),
});
app.use("/", peer);
const server = app.listen(0, "127.0.0.1", () => console.log(server.address().port));
