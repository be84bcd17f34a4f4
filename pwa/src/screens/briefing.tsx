/** Before the first case: figures of the vehicle, each with source and caution. */
import { vehicle } from "../app-model";
import { t } from "../i18n";
import { FigureCard } from "./figures";
import { Frame } from "./frame";

export function Briefing() {
  return (
    <Frame title={t("brief.title")}>
      <p class="caution">{t("brief.caution")}</p>
      {vehicle.value?.briefing.map((card) => (
        <FigureCard key={card.key} card={card} />
      ))}
    </Frame>
  );
}
