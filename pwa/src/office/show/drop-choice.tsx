/** One drop, and one priority, for many picked cases at once. */
import type { Called } from "../shared/api-types";
import { dropWords } from "./drop-names";

export const DROPS = [1, 2, 3, 4, 5, 6, 7, 8, 9] as const;

/** A case as it is called when it is picked: nothing is wished for it. */
export const picked = (code: string, drop = 1): Called => ({
  code,
  drop,
  vehicle: null,
  near: null,
  with: null,
  priority: "must",
});

export function DropOfAll(props: {
  word: string;
  drops: readonly number[];
  onChange: (drop: number) => void;
}) {
  const { word, drops, onChange } = props;
  const same = new Set(drops).size === 1;
  return (
    <select
      aria-label={`Drop of ${word}`}
      value={same ? String(drops[0]) : ""}
      onChange={(event) => onChange(Number(event.currentTarget.value))}
    >
      {!same && <option value="">several drops</option>}
      {DROPS.map((drop) => (
        <option key={drop} value={String(drop)}>
          {dropWords(drop)}
        </option>
      ))}
    </select>
  );
}

interface OfAllProps {
  word: string;
  picked: readonly Called[];
  onChange: (part: Partial<Called>) => void;
}

/** Drop and priority of every picked case of a department. */
export function OfAll({ word, picked, onChange }: OfAllProps) {
  const priorities = new Set(picked.map((each) => each.priority));
  return (
    <span class="wishes">
      <DropOfAll
        word={word}
        drops={picked.map((each) => each.drop)}
        onChange={(drop) => onChange({ drop })}
      />
      <select
        aria-label={`Priority of ${word}`}
        value={priorities.size === 1 ? picked[0]?.priority : ""}
        onChange={(event) =>
          onChange({ priority: event.currentTarget.value as Called["priority"] })
        }
      >
        {priorities.size > 1 && <option value="">must go and nice to have</option>}
        <option value="must">must go</option>
        <option value="nice">nice to have</option>
      </select>
    </span>
  );
}
