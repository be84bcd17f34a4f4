/** What a scanner's keys mean where it and the phone are set to different keyboards.
 *
 * A scanner that types sends places of keys, not letters: set to one country's keyboard before a
 * phone set to another it writes Y for Z, or a letter for the hyphen. `event.code` names the place.
 */

/** Places of keys by the standard UI Events KeyboardEvent code Values, section 3.1 (W3C). */
export interface Key {
  key: string;
  code: string;
  shift: boolean;
}

type Layout = (key: Key) => string;

const US: Record<string, string> = { Minus: "-", NumpadSubtract: "-", Slash: "/", Space: " " };

function plain({ code }: Key, more: Record<string, string>): string {
  if (code in more) return more[code] ?? "";
  const letter = /^Key([A-Z])$/.exec(code)?.[1];
  return letter ?? /^(?:Digit|Numpad)([0-9])$/.exec(code)?.[1] ?? "";
}

const us: Layout = (key) => plain(key, US);
const german: Layout = (key) =>
  plain(key, { KeyY: "Z", KeyZ: "Y", Slash: "-", NumpadSubtract: "-" });
const french: Layout = (key) => {
  // digits need shift there, and the hyphen is the six without it
  if (key.code === "Digit6" && !key.shift) return "-";
  const swapped = { KeyA: "Q", KeyQ: "A", KeyW: "Z", KeyZ: "W", Semicolon: "M" };
  return plain(key, { ...swapped, NumpadSubtract: "-" });
};

/** Every text that a run of keys may stand for, as typed first. */
export function meanings(keys: readonly Key[]): string[] {
  const typed = keys.map(({ key }) => key).join("");
  const placed = [us, german, french].map((layout) => keys.map(layout).join(""));
  return [...new Set([typed, ...placed])].filter((text) => text !== "");
}
