/** Wiring only: what the phone holds, then the screens, then the server. */
import { effect } from "@preact/signals";
import { h, render } from "preact";
import { wakeOnFirstTap } from "./model/feedback";
import { preferred } from "./i18n";
import { loadChoices, showChoices } from "./model/choices";
import { clearUp, comeBack, lookForLoss, resume } from "./model/joining";
import { listenForScanner } from "./model/scanning";
import { bundle, ready, session, trouble } from "./model/signals";
import { App } from "./screens/app/app";
import { keepAwake } from "./scan/awake";
import { onStoreTrouble } from "./store/db";
import { StoreTrouble } from "./store/trouble";
import { keepWarm } from "./model/warm";
import { hearOtherTabs } from "./model/tabs";
import { startSync } from "./model/sync";
import { watchForUpdates } from "./model/update";

declare const __ROWCALL_VERSION__: string;

const say = ({ kind, message }: StoreTrouble) => {
  trouble.value = { kind, detail: message };
};

async function start(): Promise<void> {
  document.documentElement.dataset["version"] = __ROWCALL_VERSION__;
  onStoreTrouble(say);
  showChoices();
  wakeOnFirstTap();
  const place = document.getElementById("app");
  if (place) render(h(App, {}), place);
  void watchForUpdates();
  try {
    await loadChoices(preferred());
    if (!(await resume())) void lookForLoss();
    void clearUp().catch(() => undefined); // the next start tries again
  } catch (error) {
    if (!(error instanceof StoreTrouble)) throw error;
    say(error);
  }
  ready.value = true;
  hearOtherTabs();
  listenForScanner();
  keepWarm();
  // a phone that locks between two rows costs a glove each time
  effect(() => keepAwake(session.value !== null && bundle.value !== null));
  startSync(comeBack);
}

void start();
