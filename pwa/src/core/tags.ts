/** Further tags of a case, as `core/shop/tags.py` has them; both walk fixtures/labels/tags.json. */
import { checkHolds, type Known } from "./case-code";

interface Tagged {
  code: string;
  tags?: string[];
}

/** The form in which tags are compared; UPC-A and its EAN-13 are one number. */
function tagKey(text: string): string {
  const key = text.normalize("NFC").toUpperCase().trim().replace(/\s+/g, " ");
  return /^0\d{12}$/.test(key) ? key.slice(1) : key;
}

/** Key to code; a tag that two cases carry names neither. */
export function tagOwners(cases: Iterable<Tagged>): Map<string, string> {
  const owners = new Map<string, string>();
  for (const { code, tags } of cases)
    for (const key of new Set(tags?.map(tagKey))) owners.set(key, owners.has(key) ? "" : code);
  return owners;
}

/** What a text that is no code names: a tag as a whole, or one code of our own in a web address. */
export function taggedCase(
  text: string,
  owners: ReadonlyMap<string, string>,
  { has }: Known,
): string | null {
  const code = owners.get(tagKey(text));
  if (code && has(code)) return code;
  if (!/^\s*[a-z][\w+.-]{1,15}:\/\//i.test(text)) return null;
  let plain = text;
  try {
    plain = decodeURIComponent(text);
  } catch {
    // a percent sign that stands for itself
  }
  const parts = plain.toUpperCase().split(/[/?&#=:;,\s]+/);
  const inside = new Set(parts.filter((part) => checkHolds(part) && has(part)));
  return inside.size === 1 ? ([...inside][0] ?? null) : null;
}
