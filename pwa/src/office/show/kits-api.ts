/** Kits and what other shows of a day have, for the show that is being made. */
import { signal } from "@preact/signals";
import { call } from "../shared/api";
import { tried } from "../shared/state";

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
export const taken = signal<Taken>({ cases: {}, vehicles: {} });

export async function loadKits(): Promise<void> {
  const got = await tried(() => call<Kit[]>("GET", "/kits"));
  if (got) kits.value = got;
}

export async function loadTaken(day: string, besides: string): Promise<void> {
  const asked = new URLSearchParams({ date: day, besides });
  const got = await tried(() => call<Taken>("GET", `/conflicts?${asked}`));
  if (got) taken.value = got;
}

export async function keepKits(next: readonly Kit[]): Promise<boolean> {
  const got = await tried(() => call<Kit[]>("PUT", "/kits", next));
  if (got) kits.value = got;
  return got !== null;
}
