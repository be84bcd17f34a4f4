/** The wall of the dock: one screen at the door, read from five metres, never touched.
 *
 * Its words are a ninth of the screen's height and more. Characters shall be at least 16 minutes of
 * arc high (ISO 9241-3; NUREG-0700, 1.3.1-4): 23 mm at 5 m, which a screen 30 cm high gives. On a
 * smaller one the row, the code and the time, two to three times as large, are what reads from there. */
import { useState } from "preact/hooks";
import { bundle, devices, link, state } from "../../app-model";
import { nextUp } from "../../core/next-up";
import { currentMove, summaryOf, type VehicleSummary } from "../../core/night-summary";
import { turnAt, type WallPage } from "../../core/wall";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Mark, markColour } from "../../ui/mark";
import { Button } from "../../ui/parts";
import { back } from "../shared/navigation";
import { clock, sideWord } from "../shared/format";
import { Frame } from "../shared/frame";
import { countKey, placeOf } from "../shared/sequence";
import { useNow } from "../scan/undo";
import "../../styles/wall.css";

/** Older news than this is named as old: nobody may take it for now. */
const STALE_MS = 90_000;
const MOST_CODES = 6;

/** The time of day without its half: nobody at the door takes evening for morning. */
const short = (ms: number): string =>
  clock(ms)
    .replace(/[^\d:.]+$/, "")
    .replace(/^0/, "");

export function Wall() {
  const ticking = useNow(1);
  const [held, setHeld] = useState<number | null>(null);
  const [sheet, night] = [bundle.value, state.value];
  if (!sheet || !night) return <Frame title={t("wall.title")} top tabs children={null} />;
  const summary = summaryOf(sheet, night, currentMove(night), ticking, devices.value);
  const turn = turnAt(summary, held ?? ticking);
  if (!turn) return <Frame title={t("wall.title")} top tabs children={null} />;
  const { vehicle: at } = turn;
  return (
    <div class="wall" style={{ "--strip": markColour(at.mark) }} data-page={turn.page}>
      <header class="wall-head">
        <Mark mark={at.mark} size={64} />
        <h1 class="grow">
          {at.name} <small>{t(`move.${summary.move}`)}</small>
        </h1>
        <b class="tab-num">{short(ticking)}</b>
      </header>
      <main class="wall-page" tabIndex={0}>
        <Page page={turn.page} at={at} />
      </main>
      {turn.page === "next" && <StrapCaution at={at} />}
      <Old now={ticking} />
      <Foot at={at} />
      <div class="wall-acts">
        <Button icon="back" tone="bare" label={t("back")} onPress={back}>
          {""}
        </Button>
        <Button
          icon="wait"
          tone="bare"
          pressed={held !== null}
          onPress={() => setHeld(held === null ? ticking : null)}
        >
          {t("wall.stay")} {turn.at}/{turn.of}
        </Button>
      </div>
    </div>
  );
}

/** Under every page: how far it is, what is missing, when it closes. */
function Foot({ at }: { at: VehicleSummary }) {
  return (
    <footer class="wall-foot">
      <p class="tab-num">
        <span class="unseen">{t(countKey(at.leg.move), { on: at.done, due: at.due })}</span>
        <span aria-hidden="true">
          {at.done}/{at.due}
        </span>
      </p>
      <p class={at.missing.length > 0 ? "tab-num wall-hold" : "tab-num"}>
        {t("noton.missing")} {at.missing.length}
      </p>
      <p class="tab-num">{at.close ? t("wall.close", { when: short(at.close.at) }) : "–"}</p>
    </footer>
  );
}

function Page({ page, at }: { page: WallPage; at: VehicleSummary }) {
  if (page === "next") return <NextPage at={at} />;
  if (page === "missing") return <MissingPage at={at} />;
  if (page === "time") return <TimePage at={at} />;
  return page === "rows" ? <RowsPage at={at} /> : <DonePage at={at} />;
}

/** The next steps for all who hold no row of their own. */
function stepsOf(at: VehicleSummary) {
  const [sheet, night] = [bundle.value, state.value];
  return sheet && night ? nextUp(night, sheet, { move: at.leg.move, vehicle: at.id }) : [];
}

/** Who decides stands beside the figure, for whoever stands near enough to strap. */
function StrapCaution({ at }: { at: VehicleSummary }) {
  if (stepsOf(at)[0]?.kind !== "straps") return null;
  return <p class="caution">{t("caution.straps")}</p>;
}

/** What comes next for all who hold no row of their own: a case, or the straps of a full row. */
function NextPage({ at }: { at: VehicleSummary }) {
  const steps = stepsOf(at);
  const [first] = steps;
  const strap = first?.kind === "straps" ? first : null;
  const code = strap ? "" : (first?.code ?? "");
  const found = placeOf(at.sheet, code, at.leg);
  const home = at.leg.move === "put_away" ? bundle.value?.cases[code]?.home || "?" : null;
  const then = steps.slice(1).flatMap((step) => step.code ?? []);
  return (
    <>
      <p class="wall-row">
        {t(home ? "next.home" : "next.row")} <b>{home ?? first?.row ?? "?"}</b>{" "}
        {found && !home && <span class="wall-side">{sideWord(found.place.side)}</span>}
      </p>
      <p class="wall-code">
        {strap ? (
          <span class="wall-side">
            <Icon name="strap" size={64} /> {t("strap.need", { n: strap.needed })}
          </span>
        ) : (
          code
        )}
      </p>
      {!strap && then.length > 0 && (
        <p class="wall-line soft">
          {t("next.after")} {then.slice(0, 2).join(" · ")}
        </p>
      )}
    </>
  );
}

function MissingPage({ at }: { at: VehicleSummary }) {
  const more = at.missing.length - MOST_CODES;
  return (
    <>
      <h2 class="wall-line wall-hold">{t("noton.missing")}</h2>
      <ul class="wall-codes wall-line">
        {at.missing.slice(0, MOST_CODES).map((code) => (
          <li key={code}>{code}</li>
        ))}
      </ul>
      {more > 0 && <p class="wall-line">+ {more}</p>}
    </>
  );
}

function TimePage({ at }: { at: VehicleSummary }) {
  if (!at.close) return null;
  const { at: when, from, to } = at.close;
  return (
    <>
      <h2 class="wall-line">{t("wall.last")}</h2>
      <p class="wall-row tab-num">
        <b>{short(when)}</b>
      </p>
      <p class="wall-code tab-num">{t("wall.range", { from: short(from), to: short(to) })}</p>
    </>
  );
}

function RowsPage({ at }: { at: VehicleSummary }) {
  const held = at.rows.filter((row) => row.holder !== null);
  return (
    <ul class="wall-holders wall-line">
      {held.slice(0, 4).map((row) => (
        <li key={row.number}>
          {t("next.row")} <b>{row.number}</b> {row.holder}{" "}
          <span class="tab-num soft">
            {row.on}/{row.due}
          </span>
        </li>
      ))}
    </ul>
  );
}

/** Nothing is left to carry; what is still to strap or to answer stands against the release. */
function DonePage({ at }: { at: VehicleSummary }) {
  const given = at.released;
  return (
    <>
      <Icon name={given ? "sign" : "check"} size={160} />
      <p class="wall-code">
        {given
          ? t("release.given", { name: given.by, when: short(given.at) })
          : t(at.held > 0 ? "release.held_by" : "release.ready", { n: at.held })}
      </p>
    </>
  );
}

function Old({ now }: { now: number }) {
  const heard = link.value.heard_at;
  if (heard !== null && now - heard < STALE_MS) return null;
  return (
    <p class="wall-old" role="alert">
      {heard === null ? t("link.off") : t("wall.old", { when: short(heard) })}
    </p>
  );
}
