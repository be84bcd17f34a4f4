/** A scanner that types: keys that come fast, or that spell one of our codes, with or without Enter. */
import { meanings, type Key } from "./layouts";

// scanners send a key every 1 to 50 ms, some over radio every 200; people in a field need 100 and
// more (common practice, no source)
const FASTEST_TYPIST_MS = 80;
/** Outside a field nobody types: there only a long pause ends a run. */
const LONGEST_PAUSE_MS = 600;
/** Two keys and Enter are soon struck by accident: what is shorter must be a code of the show. */
const SHORTEST = 5;
const ENDS = new Set(["Enter", "Tab"]);

interface Scanned {
  text: string;
  /** As the keys wrote it, by this phone's keyboard. */
  typed: string;
}

/** Collects keys; a person's typing never comes out, a scanner's burst does. */
export class Burst {
  constructor(private readonly isCode: (text: string) => boolean = () => false) {}

  private keys: Key[] = [];
  private last = 0;
  private slowest = 0;

  /** Take one key with its time; returns what was scanned when this key ends a scan. */
  key(key: Key, now: number, inField = true): Scanned | null {
    const pause = now - this.last;
    this.last = now;
    const most = inField ? FASTEST_TYPIST_MS : LONGEST_PAUSE_MS;
    if (this.keys.length === 0 || pause > most) this.clear();
    else this.slowest = Math.max(this.slowest, pause);
    if (ENDS.has(key.key)) return this.end(key.key, inField);
    if (key.key.length === 1 || key.key === "Dead") this.keys.push(key);
    return null;
  }

  private end(by: string, inField: boolean): Scanned | null {
    const [typed = "", ...others] = meanings(this.keys);
    const fast = this.slowest <= FASTEST_TYPIST_MS;
    const entered = by === "Enter";
    const sure = inField ? fast && entered : fast || entered;
    const long = this.keys.length >= SHORTEST;
    this.clear();
    const code = [typed, ...others].find(this.isCode);
    if (code !== undefined) return { text: code, typed };
    // in a field a tab moves on and a slow run may be a person: both must spell a code of ours
    return long && sure ? { text: typed, typed } : null;
  }

  private clear(): void {
    this.keys = [];
    this.slowest = 0;
  }
}

/** Listen to the whole page; what a scanner typed into a field is taken out of it again. */
export function listenForWedge(
  scanned: (text: string) => void,
  isCode: (text: string) => boolean,
): void {
  const burst = new Burst(isCode);
  addEventListener(
    "keydown",
    (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const { key, code, shiftKey: shift, target } = event;
      const inField = typedInto(target) !== null;
      const found = burst.key({ key, code, shift }, event.timeStamp, inField);
      if (found === null) return;
      event.preventDefault();
      event.stopPropagation();
      takeBack(target, found.typed);
      scanned(found.text);
    },
    { capture: true },
  );
}

type TextField = HTMLInputElement | HTMLTextAreaElement;

function typedInto(target: EventTarget | null): TextField | null {
  const field = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement;
  return field ? target : null;
}

function takeBack(target: EventTarget | null, text: string): void {
  const field = typedInto(target);
  if (!field || !field.value.endsWith(text)) return;
  field.value = field.value.slice(0, -text.length);
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
