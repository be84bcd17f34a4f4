/** Figures that can hurt: each with value, source, derivation and caution on request. */
import { bundle } from "../../app-model";
import type { Card, Figure } from "../../core/bundle";
import { language, t, type Key, isKey } from "../../i18n";
import { Said } from "./server-text";
import { length, mass } from "./format";

export function Figures({ title, cards }: { title: string; cards: readonly Card[] }) {
  if (cards.length === 0) return null;
  return (
    <details class="figures-open">
      <summary class="btn btn-left">
        <span>{title}</span>
      </summary>
      <div class="stack">
        {cards.map((card) => (
          <FigureCard key={card.key} card={card} />
        ))}
        <p class="caution">{t("caution.planning")}</p>
      </div>
    </details>
  );
}

export function FigureCard({ card }: { card: Card }) {
  const { figure } = card;
  return (
    <div class="card">
      <h3>{named("figure", card.key)}</h3>
      <p class="figure-value">{valueWord(figure)}</p>
      <dl class="figure-facts">
        <dt>{t("brief.how")}</dt>
        <dd>
          <Said text={figure.derivation} />
        </dd>
        <dt>{t("brief.source")}</dt>
        <dd>
          <Said text={figure.source} />
        </dd>
      </dl>
      {figure.caution && <p class="caution">{named("caution", figure.caution)}</p>}
    </div>
  );
}

/** The value in the show's units; what is a limit or a need is rounded to the safe side. */
function valueWord({ value, unit }: Figure): string {
  const units = bundle.value?.units;
  if (value === null) return t("figure.none");
  if (typeof value !== "number" || !units) return `${value} ${unit}`;
  if (unit === "g") return mass(value, units, "up");
  if (unit === "um") return length(value, units, "up");
  if (unit === "people") return t("people.push", { n: value });
  if (unit === "straps") return t("strap.need", { n: value });
  if (unit === "share") return `${(value * 100).toLocaleString(language.value)} %`;
  return `${value.toLocaleString(language.value)} ${unit}`;
}

/** Names that the words know; what a newer server adds shows its own key. */
function named(kind: "figure" | "caution", key: string): string {
  const name = `${kind}.${key}`;
  return isKey(name) ? t(name as Key) : key.replaceAll("_", " ");
}
