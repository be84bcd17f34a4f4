/** People and stance drawn, so that nobody has to read. */
import type { Stance } from "../core/bundle";

const FIGURE = "M9 2a4 4 0 1 0 .01 0M3 32V20l-2-1v-6l3-3h10l3 3v6l-2 1v12h-4V22H8v10Z";
const LIFTED = "M9 8a4 4 0 1 0 .01 0M1 2h3v11l2 2h6l2-2V2h3v13l-4 5v12h-3V22H8v10H5V20L1 15Z";

/** So many people; a lift onto a lid raises its arms. */
export function People({ count, lift = false }: { count: number; lift?: boolean }) {
  const shown = Math.max(1, Math.min(count, 6));
  return (
    <svg
      class="figures"
      viewBox={`0 0 ${shown * 20} 34`}
      width={shown * 24}
      height={40}
      aria-hidden="true"
    >
      {Array.from({ length: shown }, (_, index) => (
        <path
          key={index}
          d={lift ? LIFTED : FIGURE}
          transform={`translate(${index * 20 + 1} 0)`}
          fill="currentColor"
        />
      ))}
    </svg>
  );
}

const WHEEL = { r: 4, fill: "currentColor" } as const;

/** The case as it has to stand: where its casters are tells the stance. */
export function StanceIcon({ stance, turned }: { stance: Stance; turned: boolean }) {
  return (
    <svg class="figures" viewBox="0 0 56 44" width={56} height={44} aria-hidden="true">
      {stance === "upright" && (
        <g>
          <path d="M8 6h40v27H8ZM8 13h40" fill="none" stroke="currentColor" stroke-width="3" />
          <circle cx="15" cy="38" {...WHEEL} />
          <circle cx="41" cy="38" {...WHEEL} />
        </g>
      )}
      {stance === "on_end" && (
        <g>
          <path d="M18 2h24v40H18ZM35 2v40" fill="none" stroke="currentColor" stroke-width="3" />
          <circle cx="13" cy="9" {...WHEEL} />
          <circle cx="13" cy="35" {...WHEEL} />
        </g>
      )}
      {stance === "on_side" && (
        <g>
          <path d="M10 12h38v30H10ZM41 12v30" fill="none" stroke="currentColor" stroke-width="3" />
          <circle cx="5" cy="19" {...WHEEL} />
          <circle cx="5" cy="35" {...WHEEL} />
          <path d="M18 27h14m-6-6 6 6-6 6" fill="none" stroke="currentColor" stroke-width="3" />
        </g>
      )}
      {turned && stance === "upright" && (
        <path
          d="M18 24a10 5 0 0 0 20 0m0 0 4 4m-4-4-4 4"
          fill="none"
          stroke="currentColor"
          stroke-width="3"
        />
      )}
    </svg>
  );
}
