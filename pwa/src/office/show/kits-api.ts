/** Kits and what other shows of a day have, for the show that is being made. */
import { signal } from "@preact/signals";
import { answered, call } from "../shared/api";
import { quietly, tried } from "../shared/state";

export interface Kit {
  id: string;
  name: string;
  codes: string[];
}
export interface Taken {
  cases: Record<string, string[]>;
  vehicles: Record<string, string[]>;
}

export const kits = signal<readonly Kit[]>([]);
/** The version of the kits that are shown. */
let version = "";
export const taken = signal<Taken>({ cases: {}, vehicles: {} });

export async function loadKits(): Promise<void> {
  const got = await tried(() => answered<Kit[]>("GET", "/kits"));
  if (got) [kits.value, version] = [got.json, got.version];
}

export async function loadTaken(day: string, until: string, besides: string): Promise<void> {
  const asked = new URLSearchParams({ date: day, until, besides });
  const got = await tried(() => call<Taken>("GET", `/conflicts?${asked}`));
  if (got) taken.value = got;
}

export async function keepKits(next: readonly Kit[]): Promise<boolean> {
  const got = await tried(() => answered<Kit[]>("PUT", "/kits", next, version));
  if (got) [kits.value, version] = [got.json, got.version];
  else {
    // Somebody else changed them: what is there now is shown, and the trouble says so.
    const now = await quietly(() => answered<Kit[]>("GET", "/kits"));
    if (now) [kits.value, version] = [now.json, now.version];
  }
  return got !== null;
}
