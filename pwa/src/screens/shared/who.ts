/** Who holds this phone. */
import { computed } from "@preact/signals";
import { session } from "../../app-model";

export const isChief = computed(
  () => session.value?.role === "chief" || session.value?.role === "owner",
);
