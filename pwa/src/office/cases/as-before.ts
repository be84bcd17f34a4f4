/** What many cases have before they are changed together, so that it can be put back. */
import type { FleetCase } from "../shared/api-types";
import { CASE_COLUMNS } from "../shared/case-columns";

type Value = string | number | boolean;
export interface Group {
  codes: string[];
  change: Record<string, Value>;
}

const OF_NOTES = new Set(
  CASE_COLUMNS.filter((column) => column.part === "notes").map((column) => column.field),
);

/** What each case has now of a field, equals together, so that it can be put back. */
export function asBefore(many: readonly FleetCase[], field: string): Group[] {
  const groups = new Map<Value, string[]>();
  for (const each of many) {
    const from = (OF_NOTES.has(field) ? each.notes : each) as unknown as Record<string, Value>;
    const value = from[field] ?? "";
    groups.set(value, [...(groups.get(value) ?? []), each.code]);
  }
  return [...groups].map(([value, codes]) => ({ codes, change: { [field]: value } }));
}
