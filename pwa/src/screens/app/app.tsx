/** The crew's screens: which one is open. */
import { effect, signal } from "@preact/signals";
import type { ComponentType } from "preact";
import {
  acceptUpdate,
  bundle,
  lang,
  link,
  ready,
  revisionNews,
  session,
  trouble,
  updateReady,
} from "../../app-model";
import { speak, t } from "../../i18n";
import "../../styles/index.css";
import { Button } from "../../ui/parts";
import { answering, AnswerOverlay, followAnswers } from "../scan/answer";
import { Choose } from "../join/choose";
import { followHistory, go, screen, type ScreenName } from "../shared/navigation";
import { HazardNews } from "../checks/hazard-news";
import { Join } from "../join/join";
import { Next } from "../next/next";
import { Scan } from "../scan/scan";
import { followCalls } from "../next/spoken";
import { showTaste } from "../shared/preferences";
import { TroubleBar } from "../phone/trouble";

const CREW: Partial<Record<ScreenName, ComponentType>> = {
  choose: Choose,
  next: Next,
  scan: Scan,
};

type Later = Partial<Record<ScreenName, ComponentType>>;

/** Screens that are loaded when first asked for; the service worker holds them all night. */
const later = signal<Later>({});

async function loadAside(): Promise<Later> {
  const all = await import("./lazy");
  return {
    more: all.More,
    hazards: all.Hazards,
    hand_over: all.HandOver,
    link: all.Link,
    settings: all.Settings,
    add: all.Add,
    briefing: all.Briefing,
    case: all.CaseScreen,
    checks: all.Checks,
    recent: all.Recent,
    not_on: all.NotOn,
    rows: all.Rows,
    row: all.Row,
  };
}

async function loadChief(): Promise<Later> {
  const all = await import("../chief");
  return {
    vehicles: all.Vehicles,
    excuse: all.Excuse,
    wrong: all.Wrong,
    hands: all.Hands,
    walk: all.Walk,
    release: all.Release,
    released: all.Released,
    sign_off: all.SignOff,
    phones: all.Phones,
    papers: all.Papers,
    changes: all.Changes,
  };
}

let fetched: Promise<void> | null = null;

/** Both parts at once: each small, and whoever needs one will need the other tonight. */
function loadLater(): void {
  fetched ??= Promise.all([loadAside(), loadChief()]).then(
    ([aside, chief]) => {
      later.value = { ...aside, ...chief };
    },
    () => {
      fetched = null;
    },
  );
}

/** After joining, once the first screens stand: so that nothing has to come over the net later. */
const LOOK_AHEAD_MS = 6_000;
effect(() => {
  if (session.value) setTimeout(loadLater, LOOK_AHEAD_MS);
});

followHistory();
followAnswers();
followCalls();
showTaste();
effect(() => void speak(lang.value));

export function App() {
  if (!ready.value) return <div class="frame" />;
  const rejoin = screen.value.name === "join";
  if (!session.value || rejoin) return <Join />;
  return (
    <>
      <div class="shell" inert={answering.value}>
        <Bars />
        <Open />
      </div>
      <AnswerOverlay />
    </>
  );
}

function Open() {
  const { name, arg } = screen.value;
  const first = name === "start" ? (bundle.value ? "choose" : "link") : name;
  const Crew = CREW[first];
  if (Crew) return <Crew key={`${first} ${arg}`} />;
  const Late = later.value[first];
  if (!Late) loadLater();
  return Late ? <Late key={`${first} ${arg}`} /> : <div class="frame" />;
}

/** What concerns the phone as a whole, above every screen. */
function Bars() {
  const news = revisionNews.value;
  const calm = screen.value.name === "choose" || screen.value.name === "start";
  return (
    <>
      <TroubleBar trouble={trouble.value} />
      <SignedOut />
      <HazardNews />
      {updateReady.value && calm && (
        <div class="note stack">
          <p>{t("app.update")}</p>
          <Button onPress={acceptUpdate}>{t("app.update_go")}</Button>
        </div>
      )}
      {news && screen.value.name !== "changes" && (
        <Button tone="ask" icon="swap" onPress={() => go("changes")}>
          {t("app.plan_new", { n: news.to })}
        </Button>
      )}
    </>
  );
}

/** The session was ended by somebody else: nothing is sent until this phone is let in again. */
function SignedOut() {
  if (link.value.state !== "signed_out") return null;
  return (
    <div class="trouble stack" role="alert" id="signed-out">
      <p>{t("link.signed_out")}</p>
      <Button icon="key" id="rejoin" onPress={() => go("join")}>
        {t("link.rejoin")}
      </Button>
    </div>
  );
}
