/**
 * JSON in one form only (RFC 8785, for what events hold: text, whole numbers, true, false, null).
 *
 * The server writes the same in `core/record_chain.py`; signatures and digests are made over it.
 */

/** Half of a surrogate pair. */
const LONE = /\p{Surrogate}/u;

export function canonical(value: unknown): string {
  if (value === null || typeof value === "boolean") return String(value);
  if (typeof value === "number") {
    if (!Number.isSafeInteger(value))
      throw new Error(`canonical: expected a whole number, got ${value}`);
    return String(Object.is(value, -0) ? 0 : value);
  }
  if (typeof value === "string") {
    if (LONE.test(value))
      throw new Error("canonical: expected well-formed text, got half a character");
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value !== "object") throw new Error(`canonical: expected JSON, got ${typeof value}`);
  const held = Object.entries(value).filter(([, one]) => one !== undefined);
  held.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${held.map(([key, one]) => `${canonical(key)}:${canonical(one)}`).join(",")}}`;
}
