/** Documents that several people change: what a form changed is sent, with the version it saw. */
import { signal } from "@preact/signals";
import { answered, type Conflict, Refused } from "./api";

/** A document as it was read, and the version that it was. */
export interface Opened<T> {
  document: T;
  version: string;
}

/** Fields that somebody else changed too, and what is done once the person has chosen. */
export interface Clash {
  conflicts: readonly Conflict[];
  choose: (mine: ReadonlySet<string>, both: ReadonlyMap<string, unknown>) => void;
  leave: () => void;
}
export const clash = signal<Clash | null>(null);

/** What the open page was read as: who else changes it meanwhile is told beside it. */
export const opened = signal<{ path: string; version: string } | null>(null);

export async function open<T>(path: string): Promise<Opened<T>> {
  const { json, version } = await answered<T>("GET", path);
  opened.value = { path, version };
  return { document: json, version };
}

type Plain = Record<string, unknown>;
const isPlain = (value: unknown): value is Plain =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const same = (one: unknown, other: unknown): boolean =>
  JSON.stringify(one) === JSON.stringify(other);

/** The fields that differ, as a merge patch (RFC 7396): objects by field, lists whole. */
export function patchOf(before: object, after: object): Plain {
  const patch: Plain = {};
  const was = before as Plain;
  for (const [name, value] of Object.entries(after)) {
    const old = was[name];
    if (isPlain(old) && isPlain(value)) {
      const inner = patchOf(old, value);
      if (Object.keys(inner).length > 0) patch[name] = inner;
    } else if (!same(old, value)) patch[name] = value ?? null;
  }
  return patch;
}

/** The patch without one field, or with another value for it; a place is written a.b.c. */
export function withField(patch: Plain, field: string, value?: unknown): Plain {
  const [name = "", ...more] = field.split(".");
  const result = { ...patch };
  const inner = result[name];
  if (more.length > 0 && isPlain(inner)) {
    result[name] = withField(inner, more.join("."), value);
    if (same(result[name], {})) delete result[name];
  } else if (value === undefined) delete result[name];
  else result[name] = value;
  return result;
}

/**
 * Keep what a form changed. Where somebody changed the same fields since, the person is asked, and
 * what was chosen is sent again; null when the person leaves it.
 */
export async function keepChanges<T>(
  path: string,
  seen: Opened<object>,
  after: object,
): Promise<T | null> {
  let patch = patchOf(seen.document, after);
  let version = seen.version;
  for (;;) {
    try {
      const { json, version: now } = await answered<T>("PATCH", path, patch, version);
      opened.value = { path, version: now };
      return json;
    } catch (error) {
      if (!(error instanceof Refused) || error.conflicts.length === 0) throw error;
      const chosen = await ask(error.conflicts, patch);
      if (chosen === null) return null;
      patch = chosen;
      version = error.version;
    }
  }
}

function ask(conflicts: readonly Conflict[], patch: Plain): Promise<Plain | null> {
  return new Promise((resolve) => {
    const end = (result: Plain | null) => {
      clash.value = null;
      resolve(result);
    };
    clash.value = {
      conflicts,
      leave: () => end(null),
      choose: (mine, both) => {
        let next = patch;
        for (const { field } of conflicts) {
          if (both.has(field)) next = withField(next, field, both.get(field));
          else if (!mine.has(field)) next = withField(next, field);
        }
        end(next);
      },
    };
  });
}
