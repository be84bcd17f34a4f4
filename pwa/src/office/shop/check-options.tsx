/** When a check is asked, and whether a photo or a few words are asked beside the answer. */
import type { Check } from "./checklist-editor";

const MOMENTS = [
  ["before", "Before the first case"],
  ["during", "While the work goes on"],
  ["end", "At the end"],
] as const;

interface AsksProps {
  check: Check;
  word: string;
  onChange: (check: Check) => void;
}

export function CheckAsks({ check, word, onChange }: AsksProps) {
  const moment = check.moment ?? "end";
  return (
    <span class="list-asks soft">
      <select
        class="entry-tight"
        aria-label={`${word}, when`}
        onChange={(event) =>
          onChange({ ...check, moment: event.currentTarget.value as typeof moment })
        }
      >
        {MOMENTS.map(([name, words]) => (
          <option key={name} value={name} selected={name === moment}>
            {words}
          </option>
        ))}
      </select>
      {(["photo", "note"] as const).map((kind) => (
        <label key={kind} class="line">
          <input
            type="checkbox"
            aria-label={`${word}, ${kind}`}
            checked={check[kind] ?? false}
            onChange={(event) => onChange({ ...check, [kind]: event.currentTarget.checked })}
          />
          {kind === "photo" ? "with a photo" : "with a number or a name"}
        </label>
      ))}
    </span>
  );
}
