/** Chooses what the colours of drawings mean, and says it. */
import { Pick } from "../shared/controls";
import { tintBy, TINTS, tintsOf, type Tint, type TintBy } from "./tint";

export function TintLegend({ codes }: { codes: readonly string[] }) {
  const counts = new Map<string, { tint: Tint; count: number }>();
  for (const tint of tintsOf(tintBy.value, codes).values()) {
    const kept = counts.get(tint.key) ?? { tint, count: 0 };
    counts.set(tint.key, { tint, count: kept.count + 1 });
  }
  const rows = [...counts.values()].sort((one, other) =>
    one.tint.key.localeCompare(other.tint.key, undefined, { numeric: true }),
  );
  return (
    <div class="line line-wrap tint-legend">
      <Pick
        id="tint-by"
        label="Colour the cases by"
        value={tintBy.value}
        options={TINTS}
        onChange={(value) => (tintBy.value = value as TintBy)}
      />
      {rows.length > 0 && (
        <ul class="line line-wrap" id="tints" aria-label="What the colours mean">
          {rows.map(({ tint, count }) => (
            <li key={tint.key} class="line">
              <span class="swatch" style={{ background: tint.fill, color: tint.ink }}>
                {tint.letters}
              </span>
              {tint.label}: {count}
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
