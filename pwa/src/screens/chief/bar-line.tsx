/** One limit: how much of it is used, drawn and said. */
import type { Bar } from "./left";

export function BarLine({ bar }: { bar: Bar }) {
  return (
    <div>
      <p class="line">
        <span class="grow">{bar.word}</span>
        <b>{bar.left}</b>
      </p>
      <div class={bar.over ? "bar bar-over" : "bar"}>
        <i style={{ width: `${Math.min(100, Math.max(0, Math.round(bar.share * 100)))}%` }} />
      </div>
    </div>
  );
}
