/** The crew's screens: which one is open. */
import { effect, signal } from "@preact/signals";
import type { ComponentType } from "preact";
import {
  acceptUpdate,
  bundle,
  lang,
  ready,
  revisionNews,
  session,
  trouble,
  updateReady,
} from "../app-model";
import { language, speak, t } from "../i18n";
import "../styles/index.css";
import { Button } from "../ui/parts";
import { Add } from "./add";
import { answering, AnswerOverlay, followAnswers } from "./answer";
import { Briefing } from "./briefing";
import { CaseScreen } from "./case";
import { Checks } from "./checks";
import { Choose } from "./choose";
import { followHistory, go, screen, type ScreenName } from "./go";
import { HandOver } from "./hand-over";
import { Hazards } from "./hazards";
import { Join } from "./join";
import { Link } from "./link";
import { More } from "./more";
import { Next } from "./next";
import { NotOn } from "./not-on";
import { Row } from "./row";
import { Rows } from "./rows";
import { Scan } from "./scan";
import { Settings } from "./settings";
import { followCalls } from "./calls";
import { showTaste } from "./taste";
import { TroubleBar } from "./trouble";

const CREW: Partial<Record<ScreenName, ComponentType>> = {
  choose: Choose,
  next: Next,
  scan: Scan,
  rows: Rows,
  row: Row,
  not_on: NotOn,
  case: CaseScreen,
  checks: Checks,
  more: More,
  hazards: Hazards,
  hand_over: HandOver,
  link: Link,
  settings: Settings,
  add: Add,
  briefing: Briefing,
};

const chief = signal<Partial<Record<ScreenName, ComponentType>> | null>(null);

async function loadChief(): Promise<void> {
  const all = await import("./chief");
  chief.value = {
    vehicles: all.Vehicles,
    excuse: all.Excuse,
    wrong: all.Wrong,
    hands: all.Hands,
    walk: all.Walk,
    release: all.Release,
    released: all.Released,
    sign_off: all.SignOff,
    phones: all.Phones,
    changes: all.Changes,
  };
}

followHistory();
followAnswers();
followCalls();
showTaste();
effect(() => void speak(lang.value));

export function App() {
  if (!ready.value) return <div class="frame" />;
  if (!session.value) return <Join key={language.value} />;
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
  if (!chief.value) void loadChief();
  const Chief = chief.value?.[first];
  return Chief ? <Chief key={`${first} ${arg}`} /> : <div class="frame" />;
}

/** What concerns the phone as a whole, above every screen. */
function Bars() {
  const news = revisionNews.value;
  const calm = screen.value.name === "choose" || screen.value.name === "start";
  return (
    <>
      <TroubleBar trouble={trouble.value} />
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
