/** Which move and which vehicle: four pictures and one mark per vehicle. */
import { bundle, choose, move, state, vehicleId } from "../../app-model";
import { MOVES, type Move, type VehicleSheet } from "../../core/bundle";
import { t } from "../../i18n";
import { wakeSound } from "../../ui/feedback";
import { Mark, markColour } from "../../ui/mark";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { countKey } from "../shared/sequence";

/** A vehicle box, a case and an arrow: into or out of it, from a house or to a shelf. */
const PICTURES: Record<Move, string> = {
  shop_load: "M34 8h34v32H34ZM4 22 14 12l10 10v18H4ZM26 30h16m-6-6 6 6-6 6",
  load_in: "M4 8h34v32H4ZM28 24h34m-9-9 9 9-9 9",
  load_out: "M34 8h34v32H34ZM6 24h40m-9-9 9 9-9 9",
  put_away: "M4 8h24v32H4ZM20 24h22m-7-7 7 7-7 7M48 6v36M68 6v36M48 18h20M48 32h20",
};

export function Choose() {
  const sheet = bundle.value;
  const start = () => {
    wakeSound();
    go("next");
  };
  const ready = move.value !== null && vehicleId.value !== null;
  return (
    <Frame
      title={sheet?.show.name ?? t("choose.title")}
      thumb={
        <Button tone="main" icon="next" busy={!ready} onPress={start} id="start">
          {t("choose.go")}
        </Button>
      }
    >
      {!sheet && <p class="trouble">{t("app.no_bundle")}</p>}
      <h2>{t("choose.title")}</h2>
      <div class="pair pair-two">
        {MOVES.map((one) => (
          <button
            key={one}
            type="button"
            class="btn tile"
            aria-pressed={move.value === one}
            onClick={() => choose({ move: one })}
          >
            <svg width="72" height="48" viewBox="0 0 72 48" aria-hidden="true">
              <path d={PICTURES[one]} fill="none" stroke="currentColor" stroke-width="4" />
            </svg>
            <span>{t(`move.${one}`)}</span>
          </button>
        ))}
      </div>
      <h2>{t("choose.vehicle")}</h2>
      <div class="stack">
        {sheet?.vehicles.map((one) => (
          <VehiclePick key={one.id} one={one} />
        ))}
      </div>
    </Frame>
  );
}

function VehiclePick({ one }: { one: VehicleSheet }) {
  const now = move.value ? state.value?.legs[move.value][one.id] : undefined;
  return (
    <button
      type="button"
      class="btn btn-left pick"
      style={{ "--strip": markColour(one.mark) }}
      aria-pressed={vehicleId.value === one.id}
      onClick={() => choose({ vehicle: one.id })}
    >
      <Mark mark={one.mark} size={56} />
      <span class="grow">
        <span class="pick-name">{one.name}</span>
        <br />
        <span class="soft">{now && countWord(now.done, now.due.length)}</span>
      </span>
    </button>
  );
}

function countWord(done: number, due: number): string {
  return t(countKey(move.value ?? "shop_load"), { on: done, due });
}
