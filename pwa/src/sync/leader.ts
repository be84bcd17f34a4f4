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

/** Call `lead` once this tab is the one that speaks; it stays so until the tab is gone. */
export function whenLeader(lead: () => void): void {
  const begin = () => {
    leading = true;
    lead();
  };
  if (!locks) return begin();
  locks
    .request(LOCK, () => {
      begin();
      return new Promise<never>(() => undefined);
    })
    .catch(begin);
}

export function tellTabs(message: Message): void {
  channel?.postMessage(message);
}

export function hearTabs(listener: (message: Message) => void): void {
  channel?.addEventListener("message", (event: MessageEvent<Message>) => listener(event.data));
}
