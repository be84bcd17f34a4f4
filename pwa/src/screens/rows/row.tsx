/** One row: what stands where, its straps, and opening it again. */
import { useState } from "preact/hooks";
import { bundle, leg, report, session, vehicle } from "../../app-model";
import type { RowSheet } from "../../core/bundle";
import type { Leg, RowState } from "../../core/state";
import { t } from "../../i18n";
import { Doorway } from "../../ui/doorway";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Figures } from "../shared/figures";
import { Frame } from "../shared/frame";
import { go, screen } from "../shared/navigation";
import { caseName } from "../shared/names";
import { RowPhoto } from "../scan/row-photo";
import { onBoard, unloads } from "../shared/sequence";
import { StrapButton, StrapCard, useStraps } from "../next/strap";
import { sideWord, stanceWord } from "../shared/format";

export function Row() {
  const number = Number(screen.value.arg);
  const at = vehicle.value;
  const now = leg.value;
  const sheet = bundle.value;
  const row = at?.rows.find((one) => one.number === number);
  const known = now?.rows.find((one) => one.number === number);
  const title = t("row.title", { row: number });
  const straps = useStraps(known ?? null);
  if (!at || !now || !sheet || !row || !known) return <Frame title={title} children={null} />;
  const loading = !unloads(now.move);
  const last = number === at.rows.at(-1)?.number;
  const count = loading && known.state !== "strapped" && known.on.length > 0;
  return (
    <Frame title={title} thumb={count && <StrapButton row={number} straps={straps} />}>
      <Doorway vehicle={at} row={row} isOn={(code) => onBoard(now, code)} label={title} high />
      {known.disagreement && <p class="trouble">{t("row.differ")}</p>}
      {count && <StrapCard row={row} now={known} bundle={sheet} last={last} straps={straps} />}
      {known.state === "strapped" && <Strapped known={known} />}
      <Cases row={row} now={now} />
      {loading && <RowPhoto row={number} />}
      <TakeRow known={known} />
      <Figures title={t("strap.now")} cards={[{ key: "straps", figure: row.why }]} />
      {row.fill && <Figures title={t("strap.fill")} cards={[{ key: "fill", figure: row.fill }]} />}
    </Frame>
  );
}

function Cases({ row, now }: { row: RowSheet; now: Leg }) {
  return (
    <ul class="list">
      {row.places.map((place) => (
        <li key={place.code}>
          <button type="button" class="item" onClick={() => go("case", place.code)}>
            <Icon name={onBoard(now, place.code) ? "check" : "wait"} size={32} />
            <span class="grow">
              <span class="code">{place.code}</span> {caseName(place.code)}
              <br />
              <span class="soft">
                {sideWord(place.side)}, {stanceWord(place)}
              </span>
            </span>
          </button>
        </li>
      ))}
    </ul>
  );
}

/** Straps hold only while the row is as it was counted: opening it is said with a reason. */
function Strapped({ known }: { known: RowState }) {
  const [asking, setAsking] = useState(false);
  const reasons = [t("row.why_case"), t("row.why_out"), t("row.why_loose")];
  const open = async (why: string) => {
    if (await report({ kind: "opened", row: known.number, why })) setAsking(false);
  };
  return (
    <section class="card card-go stack">
      <h2 class="line">
        <Icon name="strap" size={40} />
        <span class="grow">
          {t("row.strapped")}: {t("strap.need", { n: known.counted ?? 0 })}
        </span>
      </h2>
      <p class="caution">{t("caution.straps")}</p>
      {!asking && (
        <Button icon="lock" onPress={() => setAsking(true)}>
          {t("row.reopen")}
        </Button>
      )}
      {asking && <h3>{t("row.reopen_why")}</h3>}
      {asking &&
        reasons.map((why) => (
          <Button key={why} onPress={() => open(why)}>
            {why}
          </Button>
        ))}
    </section>
  );
}

function TakeRow({ known }: { known: RowState }) {
  const mine = known.taken_by?.device === session.value?.device;
  return (
    <div class="stack">
      {known.taken_by && <p class="note">{t("row.taken", { name: known.taken_by.by })}</p>}
      {!mine && (
        <Button icon="hand" onPress={() => report({ kind: "took", row: known.number })}>
          {t("row.take")}
        </Button>
      )}
    </div>
  );
}
