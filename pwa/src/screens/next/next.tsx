/** What comes next: the screen that a loader has open all night. */
import { bundle, leg, lastAnswer, undo, vehicle } from "../../app-model";
import type { Bundle, VehicleSheet } from "../../core/bundle";
import type { Leg, RowState } from "../../core/state";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Floor } from "../../ui/floor";
import { ChecksFirst } from "../shared/checks-first";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { useKept } from "../scan/freeze-behind-answer";
import { NextCard } from "./card";
import { caseName } from "../shared/names";
import { rowLook } from "../shared/row-look";
import { placeOf, unloads, countKey } from "../shared/sequence";
import { stepsAhead } from "../shared/steps";
import { strapNow } from "./later";
import { useStraps } from "./strap";
import { LaterRows, putOff, rowToStrap, skip, StrapBody, StrapThumb } from "./row-now";
import { UndoBar } from "../scan/undo";
import { isChief } from "../shared/who";
import { sideWord } from "../shared/format";

/** What is still to be done, with what is not at hand moved to the end. */
function steps(): string[] {
  const off = putOff.value;
  const all = stepsAhead.value;
  return [...all.filter((code) => !off.has(code)), ...all.filter((code) => off.has(code))];
}

export function Next() {
  return <>{useKept(draw)}</>;
}

function draw() {
  const at = vehicle.value;
  const now = leg.value;
  const sheet = bundle.value;
  if (!at || !now || !sheet) return <Frame title={t("tab.next")} top tabs children={null} />;
  const order = steps();
  const full = rowToStrap.value;
  if (full) return <StrapScreen key={full.number} row={full} />;
  return (
    <Frame title={t("tab.next")} top tabs thumb={<ScanButton />}>
      <ChecksFirst />
      <LaterRows />
      <UndoBar shown={lastAnswer.value} onUndo={undo} />
      {order[0] ? (
        <Steps order={order} vehicle={at} leg={now} bundle={sheet} />
      ) : (
        <AllDone vehicle={at} leg={now} />
      )}
    </Frame>
  );
}

/** The row comes before the next case: its button takes the place of the scanner's. */
function StrapScreen({ row }: { row: RowState }) {
  const straps = useStraps(row);
  const thumb = (
    <StrapThumb row={row} straps={straps}>
      <Button icon="scan" onPress={() => go("scan")} id="scan">
        {t("scan.go")}
      </Button>
    </StrapThumb>
  );
  return (
    <Frame title={t("tab.next")} top tabs thumb={thumb}>
      <LaterRows />
      <UndoBar shown={lastAnswer.value} onUndo={undo} />
      <StrapBody row={row} straps={straps} />
    </Frame>
  );
}

interface StepsProps {
  order: readonly string[];
  vehicle: VehicleSheet;
  leg: Leg;
  bundle: Bundle;
}

function Steps({ order, vehicle: at, leg: now, bundle: sheet }: StepsProps) {
  const [first, ...rest] = order;
  if (!first) return null;
  return (
    <>
      <NextCard code={first} name={caseName(first)} vehicle={at} leg={now} bundle={sheet} />
      {rest.length > 0 && (
        <div class="stack glove-hide">
          <h2 class="next-label">{t("next.after")}</h2>
          <ol class="after">
            {rest.slice(0, 3).map((code) => (
              <AfterItem key={code} code={code} vehicle={at} leg={now} />
            ))}
          </ol>
        </div>
      )}
      {rest.length > 0 && (
        <Button icon="wait" onPress={() => skip(first)} id="skip">
          {t("next.skip")}
        </Button>
      )}
      {isChief.value && now.hands === null && !unloads(now.move) && (
        <Button icon="person" onPress={() => go("hands")}>
          {t("hands.title")}
        </Button>
      )}
      <p class="soft tab-num">
        {t(countKey(now.move), {
          on: now.done,
          due: now.due.length,
        })}
      </p>
      {now.move !== "put_away" && <p class="caution">{t("caution.planning")}</p>}
    </>
  );
}

function AfterItem(props: { code: string; vehicle: VehicleSheet; leg: Leg }) {
  const { code, vehicle: at, leg: now } = props;
  const found = placeOf(at, code, now);
  const home = now.move === "put_away" ? bundle.value?.cases[code]?.home || "?" : null;
  return (
    <li class={home ? "after-home" : undefined}>
      <b>{home ?? found?.row.number ?? "?"}</b>
      <span>
        {!home && found && sideWord(found.place.side)}
        {!home && <br />}
        <span class="code">{code}</span>
      </span>
    </li>
  );
}

function AllDone({ vehicle: at, leg: now }: { vehicle: VehicleSheet; leg: Leg }) {
  const off = unloads(now.move);
  const open = now.rows.filter((row) => row.state === "full").map((row) => row.number);
  const word = now.move === "put_away" ? "next.all_home" : off ? "next.all_off" : "next.all_on";
  return (
    <section class="card card-go stack">
      <h2 class="line">
        <Icon name="check" size={64} />
        <span class="grow">{t(word)}</span>
      </h2>
      <Floor vehicle={at} look={(row) => rowLook(now, row)} label={t("row.of")} />
      {!off && open.length > 0 && (
        <Button icon="strap" onPress={() => strapNow(...open)}>
          {t("next.rows_left", { n: open.length })}
        </Button>
      )}
      {!off && (
        <Button icon="sign" onPress={() => go("release")}>
          {t("next.go_release")}
        </Button>
      )}
      {now.move === "put_away" && isChief.value && (
        <Button icon="sign" id="to-closing" onPress={() => go("sign_off")}>
          {t("next.go_closing")}
        </Button>
      )}
    </section>
  );
}

function ScanButton() {
  return (
    <Button tone="main" icon="scan" id="scan" onPress={() => go("scan")}>
      {t("scan.go")}
    </Button>
  );
}
