/** What lift gate and track of a vehicle mean for its load, in words, with who decides. */
import type { VehicleSheet } from "../../core/bundle";

const WORDS: Record<string, string> = { lift_gate: "Lift gate", track: "Track on the walls" };

export function GearWords({ sheet }: { sheet: VehicleSheet }) {
  const cards = sheet.briefing.filter((card) => card.key in WORDS);
  if (cards.length === 0) return null;
  return (
    <div class="stack gear-words">
      {cards.map(({ key, figure }) => (
        <p key={key} data-gear={key}>
          <b>{WORDS[key]}: </b>
          <span class={figure.value === 0 ? "" : "bad"}>{figure.derivation}</span>
        </p>
      ))}
    </div>
  );
}
