/** A table of thousands of rows of one height: only those in view are in the page. */
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

const ROW_PX = 46;
const SPARE = 12;

interface LongListProps<T> {
  label: string;
  /** Widths of the columns, as a grid writes them. */
  columns: string;
  heads: JSX.Element[];
  items: readonly T[];
  keyOf: (item: T) => string;
  row: (item: T) => ComponentChildren;
}

export function LongList<T>({ label, columns, heads, items, keyOf, row }: LongListProps<T>) {
  const place = useRef<HTMLDivElement>(null);
  const [view, setView] = useState({ first: 0, count: 40 });
  const look = () => {
    const box = place.current;
    if (!box) return;
    const first = Math.max(0, Math.floor(box.scrollTop / ROW_PX) - SPARE);
    const count = Math.ceil(box.clientHeight / ROW_PX) + 2 * SPARE;
    setView((old) => (old.first === first && old.count === count ? old : { first, count }));
  };
  useEffect(() => {
    look();
    addEventListener("resize", look);
    return () => removeEventListener("resize", look);
  }, []);
  const first = Math.min(view.first, Math.max(0, items.length - 1));
  const shown = items.slice(first, first + view.count);
  const style: Record<string, string> = { "--columns": columns };
  return (
    <div
      class="long"
      role="table"
      aria-label={label}
      aria-rowcount={items.length + 1}
      tabIndex={0}
      ref={place}
      onScroll={look}
      style={style}
    >
      <div role="row" class="long-row long-head" aria-rowindex={1}>
        {heads.map((head, index) => (
          <span role="columnheader" key={index}>
            {head}
          </span>
        ))}
      </div>
      <div role="rowgroup" style={{ height: `${items.length * ROW_PX}px`, position: "relative" }}>
        {shown.map((item, index) => (
          <div
            role="row"
            class="long-row"
            key={keyOf(item)}
            aria-rowindex={first + index + 2}
            style={{ position: "absolute", top: `${(first + index) * ROW_PX}px` }}
          >
            {row(item)}
          </div>
        ))}
      </div>
    </div>
  );
}
