/** The crew's screens: which one is open. */
import { effect, signal } from "@preact/signals";
import type { ComponentType } from "preact";
import { useEffect } from "preact/hooks";
import {
  acceptUpdate,
  bundle,
  cameAgain,
  lang,
  link,
  painted,
  ready,
  reloadForParts,
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
import { Guarded, NotHere } from "../shared/nothing";
import { followHistory, go, screen, type ScreenName } from "../shared/navigation";
import { HazardNews } from "../checks/hazard-news";
import { Join } from "../join/join";
import { Next } from "../next/next";
import { followCalls } from "../next/spoken";
import { showTaste } from "../shared/preferences";
import { TroubleBar } from "../phone/trouble";

const CREW: Partial<Record<ScreenName, ComponentType>> = {
  choose: Choose,
  next: Next,
};

type Later = Partial<Record<ScreenName, ComponentType>>;

/** Screens that load behind the first one; the service worker holds them all night. */
const later = signal<Later>({});

const scanner = async (): Promise<Later> => ({ scan: (await import("../scan")).Scan });

async function others(): Promise<Later> {
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
    vehicles: all.Vehicles,
    bind: all.Bind,
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
    plan_again: all.PlanAgain,
  };
}

const wall = async (): Promise<Later> => ({ wall: (await import("../wall/wall")).Wall });

const partOf = (name: ScreenName): Part =>
  name === "scan" ? scanner : name === "wall" ? wall : others;

type Part = () => Promise<Later>;
const asked = new Map<Part, Promise<void>>();
/** The last try to load a part failed: the screen that waits for it says so. */
const failed = signal(false);
const AGAIN_MS = 5_000;

/** Once each; what the network failed to bring is asked for again by the next screen. */
function load(part: Part): Promise<void> {
  const before = asked.get(part);
  if (before) return before;
  const loading = part().then(
    (screens) => {
      later.value = { ...later.value, ...screens };
      failed.value = false;
    },
    () => {
      asked.delete(part);
      failed.value = true;
    },
  );
  asked.set(part, loading);
  return loading;
}

/** Once the first screen stands: the scanner, then all else, so that nothing is fetched later. */
const SCANNER_MS = 300;
effect(() => {
  if (session.value) setTimeout(() => void load(scanner).then(() => load(others)), SCANNER_MS);
});

/** Nothing behind an answer may be reached by keys; marking all of it costs a slow phone a frame's
 * time, so that comes once the answer is on the glass. */
const covered = signal(false);
effect(() => {
  if (!answering.value) covered.value = false;
  else void painted().then(() => (covered.value = answering.peek()));
});

followHistory(cameAgain());
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
      <div class="shell" inert={covered.value}>
        <Bars />
        <Guarded key={`${screen.value.name} ${screen.value.arg}`}>
          <Open />
        </Guarded>
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
  if (Late) return <Late key={`${first} ${arg}`} />;
  return <Coming key={first} part={partOf(first)} />;
}

/** Asks for the part at once, then every few seconds until it is there. */
function Coming({ part }: { part: Part }) {
  useEffect(() => {
    const again = async () => {
      await load(part);
      if (failed.value) await reloadForParts(false);
    };
    void again();
    const timer = setInterval(() => void again(), AGAIN_MS);
    return () => clearInterval(timer);
  }, [part]);
  return <NotHere failed={failed.value} again={() => void reloadForParts(true)} />;
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
