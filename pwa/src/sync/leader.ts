/** One tab of this phone speaks with the server; the others ask it to, and hear what came. */

type Message = { what: "kick" } | { what: "changed" } | { what: "session" };

const LOCK = "rowcall-sync";
// both are absent outside a secure context or in old browsers: then every tab speaks for itself,
// which costs a stream a tab but loses nothing, since the server takes every event once only
const locks = (navigator as { locks?: LockManager }).locks;
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("rowcall") : null;

let leading = false;

export function isLeader(): boolean {
  return leading;
}

/**
 * Lead whenever this tab is the one that the crew looks at, or the only one.
 *
 * A phone freezes tabs that are not in view: a frozen leader would hold everybody's events back, so
 * the tab in view takes the lead from it.
 */
export function follow(lead: () => void, lost: () => void): void {
  const begin = () => {
    leading = true;
    lead();
  };
  if (!locks) return begin();
  const ask = (steal: boolean): void => {
    const held = locks.request(LOCK, { steal }, () => {
      begin();
      return new Promise<never>(() => undefined);
    });
    held.catch(() => {
      leading = false;
      lost();
      ask(false);
    });
  };
  ask(false);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && !leading) ask(true);
  });
}

export function tellTabs(message: Message): void {
  channel?.postMessage(message);
}

export function hearTabs(listener: (message: Message) => void): void {
  channel?.addEventListener("message", (event: MessageEvent<Message>) => listener(event.data));
}
