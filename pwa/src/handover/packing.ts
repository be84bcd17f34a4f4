/** Events as few bytes, and back; what comes back is checked before it counts. */
import type { RowcallEvent } from "../core/events";
import { BadEvent, readEvent } from "../core/read-event";

/** A payload that is no events of this project, and why. */
export class BadHandover extends Error {
  constructor(expected: string, got: string) {
    super(`hand-over: expected ${expected}, got ${got}`);
    this.name = "BadHandover";
  }
}

const FORMAT = "deflate-raw";
const MOST_BYTES = 8_000_000;

export async function pack(events: RowcallEvent[]): Promise<Uint8Array> {
  const text = JSON.stringify({ format: "rowcall-events-1", events });
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream(FORMAT));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

export async function unpack(payload: Uint8Array): Promise<RowcallEvent[]> {
  const blob = new Blob([Uint8Array.from(payload)]);
  const text = await readAll(blob.stream().pipeThrough(new DecompressionStream(FORMAT)));
  return parseEvents(text);
}

/** Stop before a small payload has grown into all of the phone's memory. */
async function readAll(stream: ReadableStream<Uint8Array>): Promise<string> {
  const decoder = new TextDecoder();
  const reader = stream.getReader();
  let [text, size] = ["", 0];
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return text + decoder.decode();
    size += value.length;
    if (size > MOST_BYTES) throw new BadHandover(`at most ${MOST_BYTES} bytes`, "more");
    text += decoder.decode(value, { stream: true });
  }
}

/** Read a hand-over or an export file. */
export function parseEvents(text: string): RowcallEvent[] {
  let value: { format?: unknown; events?: unknown };
  try {
    value = JSON.parse(text) as { format?: unknown; events?: unknown };
  } catch {
    throw new BadHandover("JSON", text.slice(0, 40));
  }
  if (value.format !== "rowcall-events-1")
    throw new BadHandover("format rowcall-events-1", String(value.format));
  if (!Array.isArray(value.events)) throw new BadHandover("a list of events", typeof value.events);
  return value.events.map(check);
}

/** A broken event would break the fold on this phone at every start: it is refused here. */
function check(value: unknown, index: number): RowcallEvent {
  try {
    return readEvent(value, `events.${index}`);
  } catch (error) {
    if (!(error instanceof BadEvent)) throw error;
    throw new BadHandover(`an event as number ${index}`, error.message);
  }
}
