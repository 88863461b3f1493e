"""A phone whose disk is busy half of the time: there, what is rare elsewhere happens often."""

# Of each second that a page has the app's database open, about half goes to a write that lets no other begin. Stories
# set the clock, so the page's own is taken before they do.
BUSY_DISK = """(() => {
  const BUSY_MS = 350;
  const FREE_MS = 350;
  const clock = Date.now.bind(Date);
  const begin = IDBDatabase.prototype.transaction;
  const close = IDBDatabase.prototype.close;
  const known = new Set();
  const closed = new WeakSet();
  function beBusy(database) {
    if (closed.has(database)) return;
    const names = [...database.objectStoreNames];
    let writing;
    try {
      writing = begin.call(database, names, "readwrite");
    } catch {
      return; // The browser took it away.
    }
    const until = clock() + BUSY_MS;
    const look = () => {
      if (clock() < until) writing.objectStore(names[0]).count().onsuccess = look;
    };
    look();
    writing.oncomplete = writing.onabort = () => setTimeout(beBusy, FREE_MS, database);
  }
  IDBDatabase.prototype.transaction = function (...what) {
    if (this.name.startsWith("flarenut") && !known.has(this) && this.objectStoreNames.length > 0) {
      known.add(this);
      setTimeout(beBusy, FREE_MS, this);
    }
    return begin.apply(this, what);
  };
  IDBDatabase.prototype.close = function () {
    closed.add(this);
    close.call(this);
  };
})()"""
