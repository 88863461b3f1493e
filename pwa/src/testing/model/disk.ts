/** A phone's disk: it outlives the app, can be full, and undoes what was not committed in a power cut. */
import { IDBFactory, IDBObjectStore, IDBTransaction } from "fake-indexeddb";
import { deepCopy } from "./copies.ts";

type RawRequest = { request: { readyState: string } };
type RawTransaction = {
  mode: string;
  _state: string;
  _requests: RawRequest[];
  _rollbackLog: (() => void)[];
  _hasWritten?: boolean;
  _abort: (name: string | null) => void;
  _start: () => void;
};
type RawDatabase = {
  name: string;
  transactions: RawTransaction[];
  connections: { close: () => void }[];
  rawObjectStores: Map<string, { records: { values: () => Iterable<{ value: unknown }> } }>;
};
type RawFactory = {
  _databases: Map<string, RawDatabase>;
  _connectionQueues: Map<string, Promise<unknown>>;
};

export class Disk {
  readonly factory = new IDBFactory();
  /** So many more transactions that write will find the disk full. */
  full = 0;
  /** What was being written when the power went. */
  undone = 0;

  /** Everything in one object store, as it lies on the disk at this moment. */
  read<T>(database: string, store: string): T[] {
    const raw = this.raw._databases.get(database)?.rawObjectStores.get(store);
    return raw ? Array.from(raw.records.values(), (record) => record.value as T) : [];
  }

  /** Whoever wrote is gone: what it had not committed was never written. */
  cutPower(): void {
    for (const database of this.raw._databases.values()) {
      for (const one of database.transactions.toReversed()) {
        if (one._state !== "finished") {
          this.undone += one._rollbackLog.length > 0 ? 1 : 0;
          for (const undo of one._rollbackLog.toReversed()) {
            undo();
          }
          one._state = "finished";
        }
      }
      database.transactions.length = 0;
      database.connections = [];
    }
    this.raw._connectionQueues.clear();
  }

  /** As a backup finds it while the phone stands still: what is being written is not on it. */
  copy(): Disk {
    const copy = new Disk();
    for (const [name, database] of this.raw._databases) {
      copy.raw._databases.set(name, deepCopy(database));
    }
    copy.cutPower();
    copy.undone = 0;
    return copy;
  }

  private get raw(): RawFactory {
    return this.factory as unknown as RawFactory;
  }
}

/**
 * A full disk tells only when the transaction should end: all of it is undone, and `abort` is fired
 * with a QuotaExceededError. What only deletes always finds room.
 */
export function letDisksBeFull(diskInUse: () => Disk | undefined): void {
  const stores = IDBObjectStore.prototype as unknown as Record<"add" | "put", Writing>;
  for (const name of ["add", "put"] as const) {
    const write = stores[name];
    stores[name] = function (this: { transaction: RawTransaction }, ...given: unknown[]) {
      this.transaction._hasWritten = true;
      return write.apply(this, given);
    };
  }
  const transactions = IDBTransaction.prototype as unknown as RawTransaction;
  const goOn = transactions._start;
  transactions._start = function (this: RawTransaction) {
    const disk = diskInUse();
    if (disk && disk.full > 0 && isAboutToCommit(this)) {
      disk.full -= 1;
      this._abort("QuotaExceededError");
    } else {
      goOn.call(this);
    }
  };
}

type Writing = (this: { transaction: RawTransaction }, ...given: unknown[]) => unknown;

function isAboutToCommit(one: RawTransaction): boolean {
  const isDone = one._requests.every(({ request }) => request.readyState === "done");
  return (
    one.mode === "readwrite" && isDone && one._hasWritten === true && one._state !== "finished"
  );
}
