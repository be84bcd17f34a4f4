/**
 * JSON in one form only: keys sorted at every depth, no blanks, nothing escaped without need.
 *
 * The server writes the same with json.dumps(..., sort_keys=True, separators=(",", ":"),
 * ensure_ascii=False); signatures and digests are made over it.
 */
export function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map((item) => canonical(item)).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  // by code unit; keys of events are plain ASCII, where that is also Python's order
  entries.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, item]) => `${JSON.stringify(key)}:${canonical(item)}`).join(",")}}`;
}
