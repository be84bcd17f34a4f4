/** A hazard that somebody pinned stands in front of everyone until it is understood. */
import { signal } from "@preact/signals";
import { state } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";

const KEY = "rowcall.hazards";
const understood = signal<ReadonlySet<string>>(read());

export function HazardNews() {
  const news = state.value?.hazards.find((one) => !understood.value.has(one.event));
  if (!news) return null;
  return (
    <section class="trouble hazard-news" role="alert">
      <p class="line">
        <Icon name="hazard" size={48} />
        <span class="grow">{news.text}</span>
      </p>
      <Button icon="check" onPress={() => understand(news.event)} id="hazard-seen">
        {t("answer.ok")}
      </Button>
    </section>
  );
}

function understand(event: string): void {
  understood.value = new Set([...understood.value, event]);
  try {
    localStorage.setItem(KEY, JSON.stringify([...understood.value]));
  } catch {
    // without storage it is shown again at the next start: that does no harm
  }
}

function read(): Set<string> {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? "[]");
    return new Set(Array.isArray(kept) ? kept.map(String) : []);
  } catch {
    return new Set();
  }
}
