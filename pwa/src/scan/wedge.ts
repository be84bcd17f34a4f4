/** A scanner that types: a fast burst of keys that ends in Enter, anywhere in the app. */
// scanners send a key every 1 to 50 ms, people need 100 and more (common practice, no source)
const FASTEST_TYPIST_MS = 80;
/** Two keys and Enter are soon struck by accident: what is shorter must be a code of the show. */
const SHORTEST = 5;

/** Collects keys; a person's typing never comes out, a scanner's burst does. */
export class Burst {
  constructor(private readonly isCode: (text: string) => boolean = () => false) {}

  private text = "";
  private last = 0;

  /** Take one key with its time; returns the scanned text when this key completes a burst. */
  key(key: string, now: number): string | null {
    if (now - this.last > FASTEST_TYPIST_MS) this.text = "";
    this.last = now;
    if (key === "Enter") {
      const text = this.text;
      this.text = "";
      return text.length >= SHORTEST || this.isCode(text) ? text : null;
    }
    if (key.length === 1) this.text += key;
    return null;
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
      const text = burst.key(event.key, event.timeStamp);
      if (text === null) return;
      event.preventDefault();
      event.stopPropagation();
      takeBack(event.target, text);
      scanned(text);
    },
    { capture: true },
  );
}

function takeBack(target: EventTarget | null, text: string): void {
  const field = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement;
  if (!field || !target.value.endsWith(text)) return;
  target.value = target.value.slice(0, -text.length);
  target.dispatchEvent(new Event("input", { bubbles: true }));
}
