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

export function showTaste(): void {
  effect(() => {
    document.documentElement.dataset["glove"] = gloves.value ? "on" : "off";
  });
}
