/**
 * The one place that opens IndexedDB, and types it.
 *
 * Inside a transaction nothing else is awaited: it would close under us. Writes ask for `strict`
 * durability, since the default lets a "done" come before the bytes have left the machine's buffer.
 */
import {
  deleteDB,
  openDB,
  type DBSchema,
  type IDBPDatabase,
  type IDBPTransaction,
  type StoreNames,
} from "idb";
import type { Bundle } from "../core/bundle";
import type { RowcallEvent } from "../core/events";
import type { Counters, Left, Prefs, Session } from "./meta";
import { asTrouble, StoreTrouble } from "./trouble";

/** An event as this phone knows it; `seq` is the server's number, null until the server gave one. */
export interface LogEntry {
  id: string;
  show: string;
  seq: number | null;
  /** The server's time when it stored the event; absent where that is not known. */
  at?: number;
  event: RowcallEvent;
}

/** An event that the server has not answered for. */
export interface Unsent {
  id: string;
  show: string;
  n: number;
  event: RowcallEvent;
}

/** An event that the server will never take, and why. */
export interface RefusedEvent {
  id: string;
  show: string;
  event: RowcallEvent;
  reason: string;
  /** `number_taken`: to be made again under the next number; else nothing mends it. */
  code?: string;
}

/** A picture taken here; it may be dropped once the server has it. */
export interface Photo {
  id: string;
  show: string;
  blob: Blob;
  taken: number;
  /** The server's own name for it; null until it has it, empty where it will never take it. */
  stored: string | null;
}

/** How far this phone has read on; `last`: the id of the event with that number. */
export interface Cursor {
  show: string;
  cursor: number;
  last?: string;
  /** Facts that the server stored up to then are in two of its backups; its time, ms. */
  backed_up?: number;
}

export interface MetaValues {
  session: Session;
  counters: Counters;
  prefs: Prefs;
  left: Left;
}

interface Schema extends DBSchema {
  log: { key: string; value: LogEntry; indexes: { show: string } };
  outbox: { key: string; value: Unsent; indexes: { show: string } };
  refused: { key: string; value: RefusedEvent };
  bundles: { key: string; value: { show: string; bundle: Bundle; etag: string | null } };
  cursors: { key: string; value: Cursor };
  meta: {
    key: string;
    value: { [K in keyof MetaValues]: { key: K; value: MetaValues[K] } }[keyof MetaValues];
  };
  photos: { key: string; value: Photo };
}

type Database = IDBPDatabase<Schema>;
type Writing<Names extends StoreNames<Schema>[]> = IDBPTransaction<Schema, Names, "readwrite">;

const NAME = "rowcall";
/** Where the worker keeps photos of cases: see sw/sw.ts. */
const PHOTOS = "photos-of-cases";
/** Raised with every new step below; steps are only ever added at the end. */
const VERSION = 1;

let handle: Promise<Database> | null = null;
let tell: (trouble: StoreTrouble) => void = () => undefined;

/** Be called for errors that come by themselves: another tab in the way, or a newer version elsewhere. */
export function onStoreTrouble(listener: (trouble: StoreTrouble) => void): void {
  tell = listener;
}

/** Run some work on the database; a connection that died is opened again once, then it is said. */
export async function withDatabase<T>(work: (db: Database) => Promise<T>): Promise<T> {
  try {
    return await work(await open());
  } catch (first) {
    const trouble = asTrouble(first);
    if (trouble.kind !== "storage_lost") throw trouble;
    drop();
    try {
      return await work(await open());
    } catch (second) {
      throw asTrouble(second);
    }
  }
}

/**
 * Write all of it or nothing, and return once it is on the disk as far as the browser can tell.
 *
 * An error between two steps must end the whole: a half of it would be committed otherwise, as a
 * running number without its event.
 */
export async function write<T, Names extends StoreNames<Schema>[]>(
  names: Names,
  steps: (work: Writing<Names>) => Promise<T>,
): Promise<T> {
  return withDatabase(async (db) => {
    const work = db.transaction(names, "readwrite", { durability: "strict" });
    // heard below; without this a failure would also be reported as nobody's
    work.done.catch(() => undefined);
    try {
      const made = await steps(work);
      await work.done;
      return made;
    } catch (error) {
      abandon(work);
      throw error;
    }
  });
}

/** End a transaction that may have ended already. */
function abandon(work: { abort(): void }): void {
  try {
    work.abort();
  } catch {
    // it is over: nothing of it was kept
  }
}

/** Forget everything this phone holds; only after its outbox is empty. */
export async function forgetEverything(): Promise<void> {
  const open = handle;
  handle = null;
  if (open) (await open).close();
  await deleteDB(NAME);
  await forgetPictures();
}

/** Forget the pictures of cases that the worker keeps. */
export async function forgetPictures(): Promise<void> {
  // absent outside a secure context, whatever the type says
  await (globalThis.caches as CacheStorage | undefined)?.delete(PHOTOS);
}

function open(): Promise<Database> {
  handle ??= connect();
  return handle;
}

function drop(): void {
  const old = handle;
  handle = null;
  old?.then((db) => db.close()).catch(() => undefined);
}

function connect(): Promise<Database> {
  const opened = openDB<Schema>(NAME, VERSION, {
    upgrade: (db, from) => upgrade(db, from),
    // an older tab holds the database open and will not let go
    blocked: () => tell(new StoreTrouble("storage_blocked")),
    // a newer tab wants to upgrade: let it, and say so here
    blocking: () => {
      drop();
      tell(new StoreTrouble("newer_tab"));
    },
    terminated: () => {
      handle = null;
    },
  });
  opened.catch(() => {
    handle = null;
  });
  return opened;
}

function upgrade(db: IDBPDatabase<Schema>, from: number): void {
  if (from < 1) {
    db.createObjectStore("log", { keyPath: "id" }).createIndex("show", "show");
    db.createObjectStore("outbox", { keyPath: "id" }).createIndex("show", "show");
    db.createObjectStore("refused", { keyPath: "id" });
    db.createObjectStore("bundles", { keyPath: "show" });
    db.createObjectStore("cursors", { keyPath: "show" });
    db.createObjectStore("meta", { keyPath: "key" });
    db.createObjectStore("photos", { keyPath: "id" });
  }
}
