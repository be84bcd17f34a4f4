/**
 * Whether a night's record is unchanged, without a server: the same answers as `server verify`
 * (core/record_chain.py for the chain, service/seal.py for the seal: Ed25519, RFC 8032).
 */
import { canonical } from "../core/canonical";
import { before, type RowcallEvent } from "../core/events";
import { covered, head, link, start, type Covers } from "../core/record-chain";

const FINGERPRINT = 32;

export interface NightRecord {
  format: string;
  show: string;
  events: RowcallEvent[];
  digests: string[];
  arrivals?: unknown;
  seal?: { key?: unknown; signature?: unknown } | null;
}

/** What is wrong: at which event (from 1), its id, and what. */
interface Finding {
  number: number;
  event: string;
  what: string;
}

/** The record in a file; throws in words where it is none. */
export function readRecord(text: string): NightRecord {
  const found = JSON.parse(text) as Partial<NightRecord> | null;
  if (found?.format !== "rowcall-record-1")
    throw new Error("expected an object of format rowcall-record-1");
  const { show, events, digests } = found;
  if (typeof show !== "string" || !Array.isArray(events) || !Array.isArray(digests))
    throw new Error("expected show, events and digests");
  for (const [index, event] of events.entries())
    if (!isReadable(event)) throw new Error(`events.${index + 1}: expected an event`);
  return found as NightRecord;
}

function isReadable(event: unknown): boolean {
  const { id, hlc, device, n } = (event ?? {}) as Record<string, unknown>;
  return [id, hlc, device].every((one) => typeof one === "string") && Number.isInteger(n);
}

/** Where a record was changed; nothing: its digests fit. */
export function findings({ show, events, digests }: NightRecord): Finding[] {
  return [...brokenLinks(show, events, digests), ...brokenSignatures(show, events)];
}

function brokenLinks(show: string, events: RowcallEvent[], digests: unknown[]): Finding[] {
  const found: Finding[] = [];
  let digest = start(show);
  for (const [index, event] of events.entries()) {
    const [number, earlier] = [index + 1, events[index - 1]];
    const say = (what: string) => found.push({ number, event: event.id, what });
    if (earlier && before(event, earlier) < 0) say("out of order");
    if (number > digests.length) {
      say("added: it has no digest");
      return found;
    }
    if (link(digest, event) !== digests[index])
      say("changed, or something before it was taken out");
    digest = String(digests[index]);
  }
  const left = digests.length - events.length;
  if (left > 0)
    found.push({
      number: events.length + 1,
      event: "",
      what: `${left} events taken off the end`,
    });
  return found;
}

function brokenSignatures(show: string, events: RowcallEvent[]): Finding[] {
  return events.flatMap((event, index) => {
    const { covers, digest } = (event.body ?? {}) as { covers?: Covers; digest?: string };
    if (typeof covers !== "object" || covers === null || Array.isArray(covers)) return [];
    const others = events.filter(({ id }) => id !== event.id);
    if (head(show, covered(others, covers)) === digest) return [];
    return [{ number: index + 1, event: event.id, what: "what it signed is not what stands here" }];
  });
}

/** The fingerprint of a public key, in groups of four digits as on the printed record. */
export async function fingerprint(key: string): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", bytesOf(key) ?? new Uint8Array());
  const digits = [...new Uint8Array(digest)].map((one) => one.toString(16).padStart(2, "0"));
  return digits
    .join("")
    .slice(0, FINGERPRINT)
    .replace(/....(?=.)/g, "$& ");
}

/** What is wrong with the seal; empty: it holds. `expected`: the fingerprint on the paper. */
export async function brokenSeal(record: NightRecord, expected: string): Promise<string> {
  const { seal } = record;
  if (typeof seal !== "object" || seal === null)
    return "it has no seal: anybody can change a record and work out its digests anew";
  const [key, signature] = [bytesOf(seal.key), bytesOf(seal.signature)];
  if (!key || !signature || !(await isSigned(key, signature, signedText(record))))
    return "its seal does not hold: it was changed after it was sealed";
  const own = await fingerprint(String(seal.key));
  const wanted = expected.replace(/\s/g, "").toLowerCase();
  if (wanted && wanted !== own.replaceAll(" ", "")) return `it is sealed by another key: ${own}`;
  return "";
}

function signedText({ format, show, digests, events, arrivals }: NightRecord): string {
  const last = digests.at(-1) ?? start(show);
  const count = events.length;
  return canonical({ format, show, head: last, count, arrivals: arrivals ?? null });
}

function bytesOf(digits: unknown): Uint8Array<ArrayBuffer> | null {
  if (typeof digits !== "string" || !/^([0-9a-f]{2})+$/i.test(digits)) return null;
  return Uint8Array.from(digits.match(/../g) ?? [], (two) => Number.parseInt(two, 16));
}

async function isSigned(
  key: Uint8Array<ArrayBuffer>,
  signature: Uint8Array<ArrayBuffer>,
  text: string,
): Promise<boolean> {
  if (key.length !== 32) return false;
  const held = await crypto.subtle.importKey("raw", key, "Ed25519", false, ["verify"]);
  return crypto.subtle.verify("Ed25519", held, signature, new TextEncoder().encode(text));
}
