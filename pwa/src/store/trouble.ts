/** What can go wrong with the phone's own storage, each with words of its own on the screen. */
export type StoreTroubleKind =
  | "storage_full" // the phone has no room left
  | "storage_lost" // the connection died (seen on iOS after a while in the background)
  | "storage_blocked" // an old tab holds the database open
  | "newer_tab" // a newer version in another tab took the database over
  | "storage_refused"; // private window or settings forbid it

export class StoreTrouble extends Error {
  constructor(
    readonly kind: StoreTroubleKind,
    cause?: unknown,
  ) {
    super(`phone storage: ${kind}${cause instanceof Error ? `: ${cause.message}` : ""}`, { cause });
    this.name = "StoreTrouble";
  }
}

const LOST = new Set([
  "InvalidStateError",
  "UnknownError",
  "AbortError",
  "TransactionInactiveError",
]);
const REFUSED = new Set(["SecurityError", "NotAllowedError"]);

/** Put any error of IndexedDB under one of our names; an error of another making is thrown on. */
export function asTrouble(error: unknown): StoreTrouble {
  if (error instanceof StoreTrouble) return error;
  const name = error instanceof Error || error instanceof DOMException ? error.name : "";
  if (name === "QuotaExceededError") return new StoreTrouble("storage_full", error);
  if (name === "VersionError") return new StoreTrouble("newer_tab", error);
  if (LOST.has(name)) return new StoreTrouble("storage_lost", error);
  if (REFUSED.has(name)) return new StoreTrouble("storage_refused", error);
  throw error;
}
