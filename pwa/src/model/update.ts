/** Offers a waiting version; it is taken only when the crew says so, between two vehicles. */
import { updateReady } from "./signals";

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
const RELOADED = "rowcall-reloaded-at";

let waiting: ServiceWorker | null = null;

/** Begin once. Outside a secure context there are no service workers, and nothing to do. */
export async function watchForUpdates(): Promise<void> {
  reloadOnceForMissingParts();
  const workers = (navigator as { serviceWorker?: ServiceWorkerContainer }).serviceWorker;
  if (!workers) return;
  // the first worker of a phone takes over a page that had none: no reason to reload
  let before = workers.controller;
  workers.addEventListener("controllerchange", () => {
    if (before) location.reload();
    before = workers.controller;
  });
  try {
    const found = await workers.register("/sw.js", { updateViaCache: "none" });
    watch(found);
    const look = () => void found.update().catch(() => undefined);
    setInterval(look, HOUR_MS);
    // an installed app on iOS never looks by itself
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") look();
    });
  } catch (error) {
    console.warn("service worker", error);
  }
}

/** Take the waiting version up; every tab of this phone reloads. */
export function acceptUpdate(): void {
  if (waiting) waiting.postMessage("take-over");
  else location.reload();
}

function watch(found: ServiceWorkerRegistration): void {
  const offer = (worker: ServiceWorker | null) => {
    if (!worker || !navigator.serviceWorker.controller) return;
    waiting = worker;
    updateReady.value = true;
  };
  offer(found.waiting);
  found.addEventListener("updatefound", () => {
    const coming = found.installing;
    coming?.addEventListener("statechange", () => {
      if (coming.state === "installed") offer(coming);
    });
  });
}

/** A part of an old version that is nowhere any more: load the new version, but never in a loop. */
function reloadOnceForMissingParts(): void {
  addEventListener("vite:preloadError", () => {
    if (navigator.onLine && reloadedBefore() >= HOUR_MS) reload();
  });
}

/** A browser keeps a failed import as failed until the page loads anew, whatever the network brings
 * meanwhile: load it anew once the server answers, at the same screen. */
export async function reloadForParts(byHand: boolean): Promise<void> {
  if (!byHand && reloadedBefore() < MINUTE_MS) return;
  const answered = await fetch("/", { method: "HEAD", cache: "no-store" }).then(
    ({ ok }) => ok,
    () => false,
  );
  if (answered) reload();
}

const reloadedBefore = (): number =>
  Date.now() - Number(sessionStorage.getItem(RELOADED)?.split(" ")[0] ?? 0);

function reload(): void {
  sessionStorage.setItem(RELOADED, `${Date.now()} again`);
  location.reload();
}

/** Whether the page has just loaded anew for its own parts: it goes on where it was. Asked once. */
export function cameAgain(): boolean {
  const last = sessionStorage.getItem(RELOADED);
  if (!last?.endsWith(" again")) return false;
  sessionStorage.setItem(RELOADED, last.replace(" again", ""));
  return true;
}
