/** What is recorded of a case, beside what the chief says of it. */
import { move, state } from "../../app-model";
import { speaksAgainst } from "../../core/contradictions";
import type { ExcuseWhy } from "../../core/events";
import type { Contradiction, Seen } from "../../core/state";
import { t } from "../../i18n";
import { caseName } from "../shared/names";
import { clock } from "../shared/format";
import { seenPlace } from "../shared/seen";

/** The fact that a choice speaks against; null where nothing does. */
export function factAgainst(code: string, why: ExcuseWhy, to_vehicle: string | null): Seen | null {
  const seen = state.value?.last_seen[code];
  const at = move.value;
  if (!seen || !at) return null;
  return speaksAgainst(why, { move: at, to_vehicle }, seen) ? seen : null;
}

export function factWords(seen: Seen): string {
  return t("facts.seen", { place: seenPlace(seen), when: clock(seen.at), name: seen.by });
}

/** Every contradiction of the night, each with both sides. */
export function Contradictions() {
  const all = state.value?.contradictions ?? [];
  if (all.length === 0) return null;
  return (
    <section class="card card-ask stack" id="contradictions">
      <h2>{t("facts.count", { n: all.length })}</h2>
      <ul class="list">
        {all.map((one) => (
          <li key={`${one.move} ${one.code}`} class="item">
            <span class="grow">
              <span class="code">{one.code}</span> {caseName(one.code)}
              <br />
              {said(one)}
              <br />
              <b>{one.seen ? factWords(one.seen) : t("facts.no_case")}</b>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function said({ why, by, at, note }: Contradiction): string {
  const words = why === "swapped" ? t("noton.swapped_head") : t(`noton.${why}`);
  return [
    t("facts.said", { name: by, when: clock(at), what: words }),
    ...(note ? [note] : []),
  ].join(": ");
}
