/** The last change of many cases together, which can be taken back: each gets what it had. */
import { signal } from "@preact/signals";
import { call } from "../shared/api";
import { Small } from "../shared/controls";
import { done, loadCases, tried } from "../shared/state";
import type { Group } from "./as-before";

interface Back {
  words: string;
  groups: readonly Group[];
}

const back = signal<Back | null>(null);
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
