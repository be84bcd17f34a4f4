/** Drops on drawings: a colour and a number for each, where a show has more than one. */
import { signal } from "@preact/signals";
import { markColour } from "../../ui/mark";
import { dropWords } from "../show/drop-names";

/** Code → drop, of the plan that is drawn. */
export const dropOf = signal<ReadonlyMap<string, number>>(new Map());

/** The drop of a case, or null where all cases are of one drop: then it tells nothing. */
export function shownDrop(code: string): number | null {
  const drops = new Set(dropOf.value.values());
  return drops.size > 1 ? (dropOf.value.get(code) ?? null) : null;
}

const dropColour = (drop: number): string => markColour(drop - 1);

/** What the colours mean, and how many cases come off with each. */
export function DropsLegend() {
  const counts = new Map<number, number>();
  for (const drop of dropOf.value.values()) counts.set(drop, (counts.get(drop) ?? 0) + 1);
  if (counts.size < 2) return null;
  return (
    <ul class="line line-wrap drops-legend" id="drops-legend" aria-label="Drops">
      {[...counts]
        .sort(([one], [other]) => one - other)
        .map(([drop, count]) => (
          <li key={drop} class="line">
            <svg width="24" height="24" viewBox="0 0 24 24" aria-hidden="true">
              <rect width="24" height="24" rx="4" fill={dropColour(drop)} />
            </svg>
            {drop === 1 ? `${dropWords(1)}, off first` : dropWords(drop)}: {count}{" "}
            {count === 1 ? "case" : "cases"}
          </li>
        ))}
    </ul>
  );
}

interface StripeProps {
  code: string;
  x: number;
  y: number;
  wide: number;
  tall: number;
}

/** A stripe in the colour of the drop along one edge of a drawn case. */
export function DropStripe({ code, x, y, wide, tall }: StripeProps) {
  const drop = shownDrop(code);
  if (drop === null) return null;
  return <rect data-drop={drop} x={x} y={y} width={wide} height={tall} fill={dropColour(drop)} />;
}
