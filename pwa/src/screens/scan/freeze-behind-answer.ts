/** Behind an answer nothing is drawn anew: so the answer itself stands on the glass sooner. */
import type { ComponentChild } from "preact";
import { useRef } from "preact/hooks";
import { answering } from "./answer";

/** What was drawn last, as long as an answer covers it; `draw` uses no hooks. */
export function useKept(draw: () => ComponentChild): ComponentChild {
  const kept = useRef<ComponentChild>(null);
  if (!answering.value || kept.current === null) kept.current = draw();
  return kept.current;
}
