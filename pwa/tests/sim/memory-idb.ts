/**
 * What src/store/db.ts uses of `idb`, in memory: transactions that are kept whole or not at all.
 *
 * `files` outlives the page: a killed page loses what it had not committed, and nothing else.
 */
type Row = Record<string, unknown>;
interface File {
  stores: Map<string, { key: string; rows: Map<string, Row> }>;
  last: Promise<unknown>;
}

declare const files: Map<string, File>;

const copy = <T>(value: T): T => structuredClone(value);
const sorted = (rows: Iterable<Row>, key: string) =>
  [...rows].sort((a, b) => (String(a[key]) < String(b[key]) ? -1 : 1)).map(copy);

interface Upgrade {
  upgrade: (db: unknown, from: number) => void;
}

export function openDB(name: string, _version: number, { upgrade }: Upgrade): Promise<unknown> {
  let file = files.get(name);
  if (!file) {
    const made: File = { stores: new Map(), last: Promise.resolve() };
    file = made;
    files.set(name, made);
    const createObjectStore = (store: string, { keyPath }: { keyPath: string }) => {
      made.stores.set(store, { key: keyPath, rows: new Map() });
      return { createIndex: () => undefined };
    };
    upgrade({ createObjectStore }, 0);
  }
  return Promise.resolve(database(file));
}

export function deleteDB(name: string): Promise<void> {
  files.delete(name);
  return Promise.resolve();
}

function database(file: File) {
  const store = (name: string) => {
    const found = file.stores.get(name);
    if (!found) throw new Error(`memory-idb: expected a store, got ${name}`);
    return found;
  };
  return {
    get: async (name: string, key: string) => copy(store(name).rows.get(key)),
    count: async (name: string) => store(name).rows.size,
    getAll: async (name: string) => sorted(store(name).rows.values(), store(name).key),
    getAllFromIndex: async (name: string, index: string, value: string) => {
      const { key, rows } = store(name);
      return sorted(
        [...rows.values()].filter((row) => row[index] === value),
        key,
      );
    },
    transaction: () => new Transaction(file, store),
    close: () => undefined,
  };
}

/** One after the other; committed when nothing more is asked of it. */
class Transaction {
  readonly done: Promise<void>;
  private readonly changes = new Map<string, Map<string, Row | null>>();
  private readonly begun: Promise<unknown>;
  private end: { keep: () => void; fail: (error: Error) => void };
  private waiting = 0;
  private over = false;

  constructor(
    file: File,
    private readonly store: (name: string) => { key: string; rows: Map<string, Row> },
  ) {
    this.end = { keep: () => undefined, fail: () => undefined };
    this.done = new Promise((keep, fail) => (this.end = { keep, fail }));
    this.begun = file.last;
    file.last = this.done.catch(() => undefined);
    void this.begun.then(() => this.look());
  }

  objectStore(name: string) {
    const { key, rows } = this.store(name);
    const changed = this.changes.get(name) ?? new Map<string, Row | null>();
    this.changes.set(name, changed);
    const found = (wanted: string) =>
      changed.has(wanted) ? changed.get(wanted) : rows.get(wanted);
    return {
      get: (wanted: string) => this.ask(() => copy(found(wanted) ?? undefined)),
      getKey: (wanted: string) => this.ask(() => (found(wanted) ? wanted : undefined)),
      put: (row: Row) => this.ask(() => void changed.set(String(row[key]), copy(row))),
      delete: (wanted: string) => this.ask(() => void changed.set(wanted, null)),
    };
  }

  abort(): void {
    if (this.over) throw new DOMException("over", "InvalidStateError");
    this.over = true;
    this.end.fail(new DOMException("aborted", "AbortError"));
  }

  private async ask<T>(work: () => T): Promise<T> {
    this.waiting += 1;
    await this.begun;
    if (this.over) throw new DOMException("over", "TransactionInactiveError");
    const made = work();
    this.waiting -= 1;
    this.look();
    return made;
  }

  /** Commit once nothing is asked any more: whoever awaits an answer asks on before this runs. */
  private look(): void {
    setImmediate(() => {
      if (this.waiting > 0 || this.over) return;
      this.over = true;
      for (const [name, changed] of this.changes)
        for (const [wanted, row] of changed)
          if (row === null) this.store(name).rows.delete(wanted);
          else this.store(name).rows.set(wanted, row);
      this.end.keep();
    });
  }
}
