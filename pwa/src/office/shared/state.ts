/** What the office holds: who is in, where it stands, the shop's lists. */
import { computed, signal } from "@preact/signals";
import type { CasePhoto, FleetCase, Shop, ShowLine, Vehicle } from "./api-types";
import { call, Refused } from "./api";

export type Who = "asking" | "nobody" | "owner";
export const who = signal<Who>("asking");
export const name = signal("");

export const shop = signal<Shop>({
  name: "",
  units: { length: "in", mass: "lb" },
  language: "en",
  numbering: "",
  checks: [],
  walk: [],
  homes: [],
});
export const cases = signal<FleetCase[] | null>(null);
/** Photos by the code of their case. */
export const photos = signal<Record<string, CasePhoto[]>>({});
export const vehicles = signal<Vehicle[] | null>(null);
export const shows = signal<ShowLine[] | null>(null);

export const byCode = computed(() => new Map((cases.value ?? []).map((each) => [each.code, each])));
export const byId = computed(() => new Map((vehicles.value ?? []).map((each) => [each.id, each])));
/** What can be chosen: every vehicle that is not archived, and those that are chosen already. */
export const choosable = (chosen: readonly string[] = []) =>
  (vehicles.value ?? []).filter((each) => !each.aside || chosen.includes(each.id));
export const departments = computed(() =>
  [...new Set((cases.value ?? []).map((each) => each.department))].sort(),
);

/** The last trouble, in words; shown on top until it is put away. */
export const trouble = signal<Refused | null>(null);
/** What was just done, said once for eyes and ears. */
export const done = signal("");

/** Do something on the server; what it refuses is shown, and null comes back. */
export async function tried<T>(work: () => Promise<T>): Promise<T | null> {
  trouble.value = null;
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.status === 401) who.value = "nobody";
    else trouble.value = error;
    return null;
  }
}

/** Look again at what changes by itself: what is told meanwhile stays, a missed look is no trouble. */
export async function quietly<T>(work: () => Promise<T>): Promise<T | null> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.status === 401) who.value = "nobody";
    return null;
  }
}

export const loadShop = () => fill(shop, "/shop");
export const loadCases = () => fill(cases, "/cases");
export const loadPhotos = () => fill(photos, "/case-photos");
export const loadVehicles = () => fill(vehicles, "/vehicles");
export const loadShows = () => fill(shows, "/shows");

async function fill<T>(into: { value: T }, path: string): Promise<void> {
  const got = await tried(() => call<NonNullable<T>>("GET", path));
  if (got !== null) into.value = got;
}

/** Ask who is in; the owner's lists are fetched with it. */
export async function look(): Promise<void> {
  try {
    const session = await call<{ role: string; name: string }>("GET", "/session");
    if (session.role !== "owner") {
      who.value = "nobody";
      return;
    }
    name.value = session.name;
    await Promise.all([loadShop(), loadCases(), loadPhotos(), loadVehicles(), loadShows()]);
    who.value = "owner";
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    who.value = "nobody";
    if (error.status !== 401) trouble.value = error;
  }
}
