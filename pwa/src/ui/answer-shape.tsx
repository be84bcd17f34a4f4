/** One shape per answer: told apart by outline alone, at arm's length, in rain. */
import type { AnswerKind } from "./feedback";

const stroke = { fill: "none", stroke: "currentColor", "stroke-width": 9 } as const;

/** Closed disc, tick: right. Open ring, tick: right, not next. Box over an empty one: another goes first. Two sheets: already on. Eight sides and a
 * hand: other vehicle. House on a diamond: stray. Broken frame, question: unknown. Crack: damaged.
 * Two arrows: swapped out. */
export function AnswerShape({ kind, size = 160 }: { kind: AnswerKind; size?: number }) {
  return (
    <svg width={size} height={size} viewBox="0 0 100 100" aria-hidden="true" class="shape">
      {SHAPES[kind]}
    </svg>
  );
}

const SHAPES: Record<AnswerKind, preact.JSX.Element> = {
  right: (
    <g>
      <circle cx="50" cy="50" r="47" fill="currentColor" />
      <path d="M25 52 43 70 76 31" fill="none" stroke="#fff" stroke-width="12" />
    </g>
  ),
  not_next: (
    <g>
      <circle cx="50" cy="50" r="43" {...stroke} />
      <path d="M27 52 44 68 74 34" {...stroke} />
      <path d="M6 96h88" {...stroke} stroke-dasharray="12 10" />
    </g>
  ),
  blocked: (
    <g>
      <path d="M24 6h52v34H24Z" {...stroke} />
      <path d="M24 58h52v36H24Z" {...stroke} stroke-dasharray="10 9" />
      <path d="M50 44v10" {...stroke} />
    </g>
  ),
  already: (
    <g>
      <path d="M8 8h58v58H8Z" {...stroke} />
      <path d="M34 34h58v58H34Z" fill="#fff" stroke="currentColor" stroke-width="9" />
      <path d="M46 64 58 76 82 50" {...stroke} />
    </g>
  ),
  other_vehicle: (
    <g>
      <path d="M30 3h40l27 27v40L70 97H30L3 70V30Z" fill="#fff" />
      <path d="M24 50h52M56 28l22 22-22 22" fill="none" stroke="#8f0010" stroke-width="12" />
    </g>
  ),
  stray: (
    <g>
      <path d="M50 3 97 50 50 97 3 50Z" {...stroke} />
      <path d="M32 52 50 35l18 17M37 50v18h26V50" {...stroke} stroke-width="7" />
    </g>
  ),
  unknown: (
    <g>
      <path d="M6 6h88v88H6Z" {...stroke} stroke-dasharray="20 14" />
      <path d="M34 40c0-22 32-22 32 0 0 14-16 12-16 26M50 74v9" {...stroke} />
    </g>
  ),
  damaged: (
    <g>
      <path d="M50 5 96 92H4Z" {...stroke} />
      <path d="M50 24 42 48l16 10-8 28" {...stroke} stroke-width="8" />
    </g>
  ),
  swapped: (
    <g>
      <path d="M6 34h76M62 12l22 22-22 22" {...stroke} />
      <path d="M94 68H18M38 46 16 68l22 22" {...stroke} />
    </g>
  ),
};
