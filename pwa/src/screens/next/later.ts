/** Rows whose straps were put off on this phone: remembered until they are done. */
import { signal } from "@preact/signals";
import { move, session, vehicleId } from "../../app-model";

const KEPT = "rowcall.later";

/** Rows whose straps were put off on this phone, by show, move, vehicle and row: kept over a restart. */
const later = signal<ReadonlySet<string>>(new Set(stored()));
function stored(): string[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEPT) ?? "[]");
    return Array.isArray(kept) ? kept.filter((one) => typeof one === "string") : [];
  } catch {
    return [];
  }
}

function keep(next: ReadonlySet<string>): void {
  later.value = next;
  try {
    localStorage.setItem(KEPT, JSON.stringify([...next].slice(-200)));
  } catch {
    // storage may be barred: then the choice holds until the page closes
  }
}

const nameOf = (row: number): string =>
  [session.value?.show, move.value, vehicleId.value, row].join(" ");

export const isLater = (row: number): boolean => later.value.has(nameOf(row));

export function strapLater(row: number): void {
  keep(new Set([...later.value, nameOf(row)]));
}

export function strapNow(...rows: number[]): void {
  const names = rows.map(nameOf);
  keep(new Set([...later.value].filter((one) => !names.includes(one))));
}
