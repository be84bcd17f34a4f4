/** How this hand likes its phone: gloves and vibration, kept beside the other choices. */
import { effect, signal } from "@preact/signals";

function kept(name: string, usual: boolean) {
  const stored = read(name);
  const value = signal(stored === null ? usual : stored === "on");
  effect(() => write(name, value.value ? "on" : "off"));
  return value;
}

function read(name: string): string | null {
  try {
    return localStorage.getItem(`rowcall.${name}`);
  } catch {
    return null; // storage may be barred: then the choice holds until the page closes
  }
}

function write(name: string, value: string): void {
  try {
    localStorage.setItem(`rowcall.${name}`, value);
  } catch {
    // see above
  }
}

export const gloves = kept("gloves", false);
export const buzzes = kept("buzz", true);

/** With very large letters the bars no longer stick, or they would cover what they stand by. */
const LARGE_PX = 24;
function showLetters(): void {
  const size = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
  document.documentElement.dataset["letters"] = size >= LARGE_PX ? "large" : "usual";
}

export function showTaste(): void {
  showLetters();
  addEventListener("resize", showLetters);
  effect(() => {
    document.documentElement.dataset["glove"] = gloves.value ? "on" : "off";
  });
}
