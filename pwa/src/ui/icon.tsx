/** Pictograms of our own on a 24 grid: always beside a word, so they are hidden from readers. */
const PATHS = {
  scan: "M3 8V3h5M16 3h5v5M21 16v5h-5M8 21H3v-5M7 8v8M10 8v8M13 8v8M17 8v8",
  torch: "M8 3h8l-2 6v12h-4V9ZM12 12v3",
  key: "M3 6h18v12H3ZM6 9h2M10 9h2M14 9h2M6 12h2M10 12h2M14 12h2M8 15h8",
  list: "M4 6h3M4 12h3M4 18h3M10 6h10M10 12h10M10 18h10",
  rows: "M3 4h18v16H3ZM3 9h18M3 15h18M9 4v5M15 9v6M10 15v5",
  noton: "M5 5h14v14H5ZM2 22 22 2",
  check: "M4 12l5 6L20 5",
  more: "M5 12h1M11.5 12h1M18 12h1",
  strap: "M2 7h20M2 17h20M9 4h6v16H9ZM12 9v6",
  photo: "M3 7h5l2-3h4l2 3h5v13H3ZM12 10a3.5 3.5 0 1 0 .01 0",
  undo: "M9 5 4 10l5 5M4 10h10a6 6 0 0 1 0 12h-3",
  back: "M14 4 6 12l8 8",
  close: "M5 5l14 14M19 5 5 19",
  hazard: "M12 3 22 21H2ZM12 9v6M12 17.5v1",
  person: "M12 3a3 3 0 1 0 .01 0M6 21v-8l3-3h6l3 3v8",
  plus: "M12 4v16M4 12h16",
  minus: "M4 12h16",
  phone: "M7 2h10v20H7ZM11 19h2",
  sent: "M3 2h10v20H3ZM7 19h2M18 20V5M14 9l4-4 4 4",
  hand: "M6 12V6M9 12V4M12 12V3M15 12V5M18 9v7a6 6 0 0 1-12 0l-3-5",
  walk: "M13 3a1.8 1.8 0 1 0 .01 0M12 8l-3 6 3 2v6M12 8l4 4h3M9 14l-3 7",
  sign: "M3 20h18M4 16c3-9 6-12 7-9s-3 9-1 9 4-6 6-6 0 6 4 5",
  gear: "M4 7h10M18 7h2M4 17h2M10 17h10M14 4v6M8 14v6",
  sun: "M12 8a4 4 0 1 0 .01 0M12 1v3M12 20v3M1 12h3M20 12h3M4 4l2 2M18 18l2 2M4 20l2-2M18 6l2-2",
  moon: "M20 14A9 9 0 1 1 10 4a7 7 0 0 0 10 10Z",
  sound: "M3 9v6h4l6 5V4L7 9ZM17 8c2 2 2 6 0 8M20 5c4 4 4 10 0 14",
  ear: "M7 14V9a5 5 0 0 1 10 0c0 4-5 5-5 9a3 3 0 0 1-5 1M10 10a2 2 0 0 1 4 0",
  clock: "M12 3a9 9 0 1 0 .01 0M12 7v5l4 3",
  weight: "M8 8h8l4 13H4ZM12 3a2.5 2.5 0 1 0 .01 0",
  home: "M3 12 12 4l9 8M6 10v10h12V10",
  note: "M5 3h14v18H5ZM8 8h8M8 12h8M8 16h5",
  swap: "M4 8h14l-4-4M20 16H6l4 4",
  truck: "M2 6h12v11H2ZM14 10h4l4 4v3h-8M6 17a2 2 0 1 0 .01 0M17 17a2 2 0 1 0 .01 0",
  lost: "M12 3a8 8 0 0 0-8 8c0 5 8 11 8 11s8-6 8-11a8 8 0 0 0-8-8ZM9 9c0-4 6-4 6 0 0 2-3 2-3 4M12 15v1",
  wait: "M6 3h12M6 21h12M7 3c0 6 5 6 5 9s-5 3-5 9M17 3c0 6-5 6-5 9s5 3 5 9",
  stay: "M12 3v10M8 3h8l-1 6 3 4H6l3-4ZM12 13v8",
  never: "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5",
  broken: "M4 5h16v14H4ZM12 5l-2 5 4 3-3 6",
  globe: "M12 3a9 9 0 1 0 .01 0M3 12h18M12 3c-5 5-5 13 0 18M12 3c5 5 5 13 0 18",
  out: "M10 4H4v16h6M14 8l4 4-4 4M18 12H9",
  lock: "M6 11h12v10H6ZM8 11V8a4 4 0 0 1 8 0v3",
  next: "M9 4l8 8-8 8",
  open: "M4 4h16v16H4Z",
} as const;
export type IconName = keyof typeof PATHS;

export function Icon({ name, size = 24 }: { name: IconName; size?: number }) {
  return (
    <svg width={size} height={size} viewBox="0 0 24 24" aria-hidden="true" class="icon">
      <path
        d={PATHS[name]}
        fill="none"
        stroke="currentColor"
        stroke-width="2.2"
        stroke-linecap="square"
      />
    </svg>
  );
}
