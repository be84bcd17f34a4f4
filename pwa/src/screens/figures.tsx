/** Figures that can hurt: each with value, source, derivation and caution on request. */
import type { Card } from "../core/bundle";
import { language, t } from "../i18n";
import { word } from "./words";
import english from "../i18n/en.json";

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
        <p class="caution">{t("brief.caution")}</p>
      </div>
    </details>
  );
}

export function FigureCard({ card }: { card: Card }) {
  const { figure } = card;
  const value =
    typeof figure.value === "number" ? figure.value.toLocaleString(language.value) : figure.value;
  return (
    <div class="card">
      <h3>{figureName(card.key)}</h3>
      <p class="figure-value">
        {value} {figure.unit}
      </p>
      <dl class="figure-facts">
        <dt>{t("brief.how")}</dt>
        <dd>{figure.derivation}</dd>
        <dt>{t("brief.source")}</dt>
        <dd>{figure.source}</dd>
      </dl>
      {figure.caution && <p class="caution">{figure.caution}</p>}
    </div>
  );
}

/** Names that the words know; a figure of a newer server shows its own key. */
function figureName(key: string): string {
  const name = `figure.${key}`;
  return name in english ? word(name) : key.replaceAll("_", " ");
}
