/** Night or sunlight, kept on this device; the system's wish holds until somebody turns it. */
import { effect, signal } from "@preact/signals";

const KEY = "rowcall.office.palette";

function kept(): boolean {
  try {
    const found = localStorage.getItem(KEY);
    if (found) return found === "sun";
  } catch {
    // storage may be barred: then the choice holds until the page closes
  }
  return matchMedia("(prefers-color-scheme: light)").matches;
}

export const sunlight = signal(kept());

effect(() => {
  if (sunlight.value) document.documentElement.dataset["palette"] = "sun";
  else delete document.documentElement.dataset["palette"];
});

export function turnPalette(): void {
  sunlight.value = !sunlight.value;
  try {
    localStorage.setItem(KEY, sunlight.value ? "sun" : "night");
  } catch {
    // see above
  }
}
