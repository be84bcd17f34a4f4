/** Which screen is open. The phone's own back gesture works; the address never changes, because a
 * change of it makes some browsers ask for the camera again. */
import { signal } from "@preact/signals";

export type ScreenName =
  | "start"
  | "choose"
  | "next"
  | "scan"
  | "recent"
  | "rows"
  | "row"
  | "not_on"
  | "case"
  | "checks"
  | "more"
  | "hazards"
  | "hand_over"
  | "link"
  | "settings"
  | "add"
  | "bind"
  | "briefing"
  | "vehicles"
  | "excuse"
  | "wrong"
  | "hands"
  | "walk"
  | "release"
  | "released"
  | "sign_off"
  | "phones"
  | "papers"
  | "join"
  | "changes"
  | "plan_again"
  | "wall";

interface Screen {
  name: ScreenName;
  arg: string;
}

export const screen = signal<Screen>({ name: "start", arg: "" });

/** Opens a screen; `replace` where going back to the one before makes no sense. */
export function go(name: ScreenName, arg = "", replace = false): void {
  const next: Screen = { name, arg };
  if (replace) history.replaceState(next, "");
  else history.pushState(next, "");
  screen.value = next;
  scrollTo(0, 0);
}

export function back(): void {
  if (history.state === null || history.length < 2) go("start", "", true);
  else history.back();
}

/** `resume`: the page loaded itself anew, and opens the screen at which it was. */
export function followHistory(resume: boolean): void {
  const before: unknown = history.state;
  if (resume && isScreen(before)) screen.value = before;
  addEventListener("popstate", (event) => {
    const state: unknown = event.state;
    screen.value = isScreen(state) ? state : { name: "start", arg: "" };
  });
}

function isScreen(state: unknown): state is Screen {
  return typeof state === "object" && state !== null && "name" in state && "arg" in state;
}
