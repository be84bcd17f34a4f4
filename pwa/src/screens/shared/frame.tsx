/** The frame round every screen: the vehicle's strip above, the thumb's bar below. */
import type { ComponentChildren } from "preact";
import { leg, link, move, unsent, vehicle } from "../../app-model";
import { t } from "../../i18n";
import { Icon, type IconName } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Mark, markColour } from "../../ui/mark";
import { back, go, screen, type ScreenName } from "./navigation";
import { useKept } from "../scan/freeze-behind-answer";
import { leftKey, unloads } from "./sequence";
import { isChief } from "./who";

interface FrameProps {
  title: string;
  /** null: there is nothing to draw for what is chosen. */
  children: ComponentChildren;
  /** What lies under the thumb. */
  thumb?: ComponentChildren;
  tabs?: boolean;
  /** The strip shows the vehicle in place of a way back. */
  top?: boolean;
}

export function Frame({ title, children, thumb, tabs = false, top = false }: FrameProps) {
  const colour = vehicle.value ? markColour(vehicle.value.mark) : "var(--line)";
  return (
    <div class="frame" style={{ "--strip": colour }}>
      <header class="strip">
        {top ? <VehicleName title={title} /> : <BackTitle title={title} />}
        <Sent />
      </header>
      <main class="work" tabIndex={0}>
        {children ?? <Nothing />}
      </main>
      {(thumb || tabs) && (
        <div class="thumb">
          {thumb}
          {tabs && <Tabs />}
        </div>
      )}
    </div>
  );
}

/** No screen is blank: what is not chosen, or not on this plan, says so and leads on. */
function Nothing() {
  return (
    <section class="card stack" id="nothing">
      <p>{t("app.nothing")}</p>
      <Button icon="truck" onPress={() => go("choose")}>
        {t("set.change")}
      </Button>
    </section>
  );
}

function BackTitle({ title }: { title: string }) {
  return (
    <>
      <button type="button" class="btn btn-bare" aria-label={t("back")} onClick={back}>
        <Icon name="back" />
      </button>
      <h1 class="grow strip-name">{title}</h1>
    </>
  );
}

/** Mark, name and move: a tap leads to another vehicle or move. */
function VehicleName({ title }: { title: string }) {
  const at = vehicle.value;
  const doing = move.value;
  if (!at || !doing) return <h1 class="grow strip-name">{title}</h1>;
  return (
    <button type="button" class="item grow strip-pick" onClick={() => go("choose")}>
      <Mark mark={at.mark} size={36} />
      <span class="grow">
        <span class="unseen">{t("set.change")}: </span>
        <span class="strip-name">{at.name}</span>
        <span class="strip-sub">{t(`move.${doing}`)}</span>
      </span>
    </button>
  );
}

function Sent() {
  return <>{useKept(sent)}</>;
}

/** Link and unsent are two things: a phone with a connection may still hold reports. */
function sent() {
  const reached = link.value.state === "reached";
  const word = unsent.value > 0 ? t("link.unsent", { n: unsent.value }) : t("link.sent");
  return (
    <button
      type="button"
      class={unsent.value > 0 ? "btn btn-bare sent" : "btn btn-bare sent sent-quiet"}
      onClick={() => go("link")}
    >
      <svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true">
        {reached ? (
          <circle cx="9" cy="9" r="7" fill="currentColor" />
        ) : (
          <path d="M3 3l12 12M15 3 3 15" stroke="currentColor" stroke-width="3" />
        )}
      </svg>
      <span class="sent-word">
        <span class="unseen">{reached ? t("link.on") : t("link.off")}, </span>
        {word}
      </span>
    </button>
  );
}

interface TabSpec {
  to: ScreenName;
  icon: IconName;
  word: string;
  count?: number;
}

function Tabs() {
  return <>{useKept(tabs)}</>;
}

function tabs() {
  const now = leg.value;
  const doing = move.value;
  const left = doing !== null && unloads(doing) ? leftKey(doing) : "tab.not_on";
  const open = now ? now.not_on.filter((one) => !one.accounted).length : 0;
  const checks = now ? now.checks.filter((one) => one.open).length : 0;
  const specs: TabSpec[] = [
    { to: "next", icon: "next", word: t("tab.next") },
    { to: "not_on", icon: "noton", word: t(left), count: open },
    { to: "rows", icon: "rows", word: t("tab.rows") },
    { to: "checks", icon: "check", word: t("tab.checks"), count: checks },
    isChief.value
      ? { to: "vehicles", icon: "truck", word: t("tab.all") }
      : { to: "more", icon: "more", word: t("tab.more") },
  ];
  return (
    <nav class="tabs" aria-label={t("tab.menu")}>
      {specs.map((spec) => (
        <button
          key={spec.to}
          type="button"
          class="tab"
          aria-current={screen.value.name === spec.to ? "page" : undefined}
          onClick={() => go(spec.to)}
        >
          <Icon name={spec.icon} />
          <span>{spec.word}</span>
          {spec.count !== undefined && spec.count > 0 && <b class="tab-count">{spec.count}</b>}
        </button>
      ))}
    </nav>
  );
}
