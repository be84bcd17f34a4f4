/** What this phone works on and how it looks; kept for the next start. */
import { effect } from "@preact/signals";
import type { Move } from "../core/bundle";
import { NO_PREFS, readMeta, writeMeta, type Prefs } from "../store/meta";
import { lang, lastAnswer, move, palette, sound, vehicleId, voice, type Palette } from "./signals";

/** Work this move, and this vehicle. */
export async function choose(next: { move?: Move; vehicle?: string | null }): Promise<void> {
  if (next.move) move.value = next.move;
  if (next.vehicle !== undefined) vehicleId.value = next.vehicle;
  lastAnswer.value = null;
  await save();
}

/** Look and sound like this. */
export async function prefer(next: {
  lang?: string;
  palette?: Palette;
  voice?: boolean;
  sound?: boolean;
}): Promise<void> {
  lang.value = next.lang ?? lang.value;
  palette.value = next.palette ?? palette.value;
  voice.value = next.voice ?? voice.value;
  sound.value = next.sound ?? sound.value;
  await save();
}

/** Take up what was chosen last time; `language` is what the phone itself is set to. */
export async function loadChoices(language: string): Promise<void> {
  const kept: Prefs = { ...NO_PREFS, ...((await readMeta("prefs")) ?? {}) };
  move.value = kept.move;
  vehicleId.value = kept.vehicle;
  lang.value = kept.lang ?? language;
  palette.value = (kept.palette as Palette | null) ?? "night";
  voice.value = kept.voice;
  sound.value = kept.sound;
}

/** Keep the page's own language and palette in step with what is chosen. */
export function showChoices(): void {
  effect(() => {
    document.documentElement.lang = lang.value;
    document.documentElement.dataset["palette"] = palette.value;
  });
}

async function save(): Promise<void> {
  const prefs: Prefs = {
    move: move.value,
    vehicle: vehicleId.value,
    lang: lang.value,
    palette: palette.value,
    voice: voice.value,
    sound: sound.value,
  };
  // a wish about looks that cannot be kept is no reason to stop the work
  await writeMeta("prefs", prefs).catch(() => undefined);
}
