/** Rows from above, to scale: the bulkhead is on top. */

export interface DrawnRow {
  depth_um: number;
  stacks: { across_um: number; along_um: number; high: number; name: string }[];
}

const MM = 1_000;
const EDGE = 12;

export function RowsDrawing({
  rows,
  width,
  label,
}: {
  rows: DrawnRow[];
  width: number;
  label: string;
}) {
  const deep = rows.reduce((sum, row) => sum + row.depth_um, 0);
  let top = 0;
  return (
    <figure class="rows-from-above">
      <svg
        viewBox={`0 0 ${width / MM} ${Math.max(1, deep / MM)}`}
        role="img"
        aria-label={`${label}: ${rows.length} rows`}
      >
        <rect
          width={width / MM}
          height={deep / MM}
          fill="none"
          stroke="var(--ink)"
          stroke-width={EDGE * 2}
        />
        {rows.map((row, index) => {
          const start = top;
          top += row.depth_um;
          return <OneRow key={index} row={row} top={start} />;
        })}
      </svg>
      <figcaption>{label}</figcaption>
    </figure>
  );
}

function OneRow({ row, top }: { row: DrawnRow; top: number }) {
  let left = 0;
  return (
    <g>
      {row.stacks.map((stack, index) => {
        const x = left;
        left += stack.across_um;
        return (
          <rect
            key={index}
            x={x / MM + EDGE}
            y={top / MM + EDGE}
            width={Math.max(1, stack.across_um / MM - 2 * EDGE)}
            height={Math.max(1, stack.along_um / MM - 2 * EDGE)}
            fill={stack.high > 1 ? "var(--steel)" : "var(--case)"}
            stroke="var(--ink)"
            stroke-width={EDGE}
          >
            <title>{`${stack.name}${stack.high > 1 ? `, ${stack.high} cases` : ""}`}</title>
          </rect>
        );
      })}
    </g>
  );
}
