/** The last change of many cases together, which can be taken back: each gets what it had. */
import { signal } from "@preact/signals";
import type { FleetCase } from "../shared/api-types";
import { CASE_COLUMNS } from "../shared/case-columns";
import { call } from "../shared/api";
import { Small } from "../shared/controls";
import { done, loadCases, tried } from "../shared/state";

type Value = string | number | boolean;
interface Back {
  words: string;
  groups: readonly { codes: string[]; change: Record<string, Value> }[];
}

const back = signal<Back | null>(null);
const OF_NOTES = new Set(
  CASE_COLUMNS.filter((column) => column.part === "notes").map((column) => column.field),
);

/** What each case has now of a field, equals together, so that it can be put back. */
export function asBefore(many: readonly FleetCase[], field: string): Back["groups"] {
  const groups = new Map<Value, string[]>();
  for (const each of many) {
    const from = (OF_NOTES.has(field) ? each.notes : each) as unknown as Record<string, Value>;
    const value = from[field] ?? "";
    groups.set(value, [...(groups.get(value) ?? []), each.code]);
  }
  return [...groups].map(([value, codes]) => ({ codes, change: { [field]: value } }));
}

export function remember(words: string, groups: Back["groups"]): void {
  back.value = { words, groups };
}

export function UndoBulk() {
  const last = back.value;
  if (!last) return null;
  const undo = async () => {
    for (const group of last.groups)
      if ((await tried(() => call("POST", "/cases/change", group))) === null) return;
    back.value = null;
    await loadCases();
    done.value = "They are as they were.";
  };
  return (
    <p class="line note">
      <span class="grow">{last.words}</span>
      <Small id="bulk-undo" onPress={() => void undo()}>
        Undo
      </Small>
    </p>
  );
}
