/** What a read text may name: the fleet's codes and tags, and the cases that were added tonight. */
import { computed, effect, signal } from "@preact/signals";
import type { Known } from "../core/case-code";
import { seeEveryKind } from "../scan/decoder";
import { bundle, state } from "./signals";

/** Loaded once a show is here: nobody waits for it before joining. */
const tags = signal<typeof import("../core/tags") | null>(null);
effect(() => {
  if (bundle.value && !tags.peek())
    void import("../core/tags").then(
      (loaded) => (tags.value = loaded),
      () => undefined,
    );
});

const cases = () => Object.values(bundle.value?.cases ?? {});
const owners = computed(() => tags.value?.tagOwners(cases()));

/** Whether any case carries a tag: then bar codes of every kind are looked for. */
export const anyTags = (): boolean => cases().some((card) => card.tags);

effect(() => seeEveryKind(anyTags()));

export const known: Known = {
  has: (code) => code in (bundle.value?.cases ?? {}) || code in (state.value?.added ?? {}),
  tagged: (text) => (owners.value && tags.value?.taggedCase(text, owners.value, known)) ?? null,
};
