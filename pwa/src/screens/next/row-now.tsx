/** The row that wants its straps now: it takes the place of the next case, on Next and on Scan. */
import { computed, signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { bundle, leg, vehicle } from "../../app-model";
import type { RowState } from "../../core/state";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { unloads } from "../shared/sequence";
import { isLater, strapLater, strapNow } from "./later";
import { StrapButton, StrapCard, type Straps } from "./strap";

/** Cases that were not at hand: they come again after all others. */
export const putOff = signal<ReadonlySet<string>>(new Set());
export const skip = (code: string) => (putOff.value = new Set([...putOff.value, code]));

/** All its cases are on, or all but what was put off as not at hand, and it wants straps. */
const wanting = computed<readonly RowState[]>(() => {
  const now = leg.value;
  if (!now || unloads(now.move)) return [];
  const on = new Set(now.on);
  return now.rows.filter(
    (row) =>
      row.state !== "strapped" &&
      row.on.length > 0 &&
      row.due.every((code) => on.has(code) || putOff.value.has(code)),
  );
});

export const rowToStrap = computed<RowState | null>(
  () => wanting.value.find((row) => !isLater(row.number)) ?? null,
);

/** What was put off stands on top of the screen until it is done. */
export function LaterRows() {
  const rows = wanting.value.filter((row) => isLater(row.number)).map((row) => row.number);
  if (rows.length === 0) return null;
  return (
    <Button tone="ask" icon="strap" onPress={() => strapNow(...rows)} id="later-rows">
      {t("strap.put_off", { rows: rows.join(", ") })}
    </Button>
  );
}

export function StrapBody({ row, straps }: { row: RowState; straps: Straps }) {
  const planned = vehicle.value?.rows.find((one) => one.number === row.number);
  const sheet = bundle.value;
  if (!planned || !sheet) return null;
  const last = row.number === vehicle.value?.rows.at(-1)?.number;
  return <StrapCard row={planned} now={row} bundle={sheet} last={last} straps={straps} />;
}

/** Its button takes the place of the scanner's. */
export function StrapThumb(props: { row: RowState; straps: Straps; children?: ComponentChildren }) {
  const { row, straps, children } = props;
  return (
    <>
      <StrapButton row={row.number} straps={straps} />
      <div class="pair pair-two">
        <Button onPress={() => strapLater(row.number)} id="later">
          {t("strap.later")}
        </Button>
        {children}
      </div>
    </>
  );
}
