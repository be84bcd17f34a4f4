/** Everything that is not needed all night, one tap each. */
import { state, unsent } from "../../app-model";
import { t } from "../../i18n";
import { Icon, type IconName } from "../../ui/icon";
import { Frame } from "../shared/frame";
import { go, type ScreenName } from "../shared/navigation";
import { isChief } from "../shared/who";

interface Entry {
  to: ScreenName;
  icon: IconName;
  word: string;
  count?: number;
  chief?: boolean;
}

function entries(): Entry[] {
  return [
    { to: "vehicles", icon: "truck", word: t("chief.title") },
    { to: "release", icon: "sign", word: t("release.title") },
    { to: "walk", icon: "walk", word: t("walk.title") },
    { to: "sign_off", icon: "note", word: t("sign.title") },
    { to: "hands", icon: "person", word: t("hands.title") },
    { to: "briefing", icon: "hand", word: t("brief.title") },
    {
      to: "hazards",
      icon: "hazard",
      word: t("hazard.title"),
      count: state.value?.hazards.length ?? 0,
    },
    { to: "add", icon: "plus", word: t("add.open") },
    { to: "bind", icon: "scan", word: t("bind.title"), chief: true },
    { to: "link", icon: "sent", word: t("link.title"), count: unsent.value },
    { to: "hand_over", icon: "swap", word: t("hand.title") },
    { to: "phones", icon: "phone", word: t("phones.title"), chief: true },
    { to: "plan_again", icon: "swap", word: t("again.title"), chief: true },
    { to: "wall", icon: "clock", word: t("wall.title") },
    { to: "papers", icon: "list", word: t("papers.title") },
    { to: "settings", icon: "gear", word: t("set.title") },
  ];
}

/** What a loader asks for comes first on a loader's phone; the chief's work is the chief's. */
const LOADER: readonly ScreenName[] = [
  "briefing",
  "hazards",
  "add",
  "link",
  "hand_over",
  "wall",
  "settings",
];

function inOrder(): Entry[] {
  if (isChief.value) return entries();
  const all = entries().filter((entry) => !entry.chief);
  const first = LOADER.flatMap((to) => all.filter((entry) => entry.to === to));
  return [...first, ...all.filter((entry) => !first.includes(entry))];
}

export function More() {
  return (
    <Frame title={t("more.title")} top tabs>
      <h1 class="unseen">{t("more.title")}</h1>
      <ul class="pair">
        {inOrder().map((entry) => (
          <li key={entry.to}>
            <button type="button" class="btn tile" onClick={() => go(entry.to)}>
              <Icon name={entry.icon} size={36} />
              <span>
                {entry.word}
                {entry.count ? <b class="tab-num"> {entry.count}</b> : null}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </Frame>
  );
}
