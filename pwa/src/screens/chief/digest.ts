/** What a signature stands under: a SHA-256 chain over every event that this phone knows. */
import { canonical } from "../../core/canonical";
import { standing, unique } from "../../core/events";
import { knownEvents } from "../../model/evening";

const hex = (bytes: ArrayBuffer): string =>
  [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** Each link is the hash of the one before and of the next event in the order of facts. */
export async function digestNow(): Promise<string> {
  // no hashing outside a secure context: then the server's own record is the only one
  const subtle = (crypto as { subtle?: SubtleCrypto }).subtle;
  const events = standing(unique(knownEvents()));
  if (!subtle) return `unhashed:${events.length}`;
  let link = "";
  for (const event of events) {
    const text = new TextEncoder().encode(link + canonical(event));
    link = hex(await subtle.digest("SHA-256", text));
  }
  return link;
}
