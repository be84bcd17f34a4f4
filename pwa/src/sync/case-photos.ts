/** Small photos of the cases of a show: fetched one by one beside the work, kept by the worker. */
import type { Bundle } from "../core/bundle";

/** Between two photos, so that reports always find the way free. */
const PAUSE_MS = 400;
/** A page that was loaded past the worker never gets one: it does not wait for long. */
const WORKER_MS = 60_000;
const asked = new Set<string>();

/** Where the photo of a case is, null where the shop has none of it. */
export function casePhoto({ show, cases }: Bundle, code: string): string | null {
  const photo = Object.hasOwn(cases, code) ? cases[code]?.photo : null;
  if (!photo) return null;
  return `/api/shows/${[show.id, "cases", code, "photos", photo].map(encodeURIComponent).join("/")}`;
}

/** Ask for every photo once, as long as the server answers; a phone that saves data waits. */
export async function photosAhead(bundle: Bundle): Promise<void> {
  const link = (navigator as { connection?: { saveData?: boolean } }).connection;
  if (link?.saveData) return;
  await workerHolds();
  for (const code of Object.keys(bundle.cases)) {
    const path = casePhoto(bundle, code);
    if (!path || asked.has(path)) continue;
    await new Promise((done) => setTimeout(done, PAUSE_MS));
    try {
      // read to its end, or it is not kept
      await (await fetch(path, { priority: "low" })).blob();
    } catch {
      return; // no network: the photo is fetched where it is shown
    }
    asked.add(path);
  }
}

/** What a phone that has just joined fetches before its first worker takes over is kept by nobody. */
async function workerHolds(): Promise<void> {
  const workers = (navigator as { serviceWorker?: ServiceWorkerContainer }).serviceWorker;
  if (!workers || workers.controller) return;
  await new Promise<unknown>((done) => {
    workers.addEventListener("controllerchange", done, { once: true });
    setTimeout(done, WORKER_MS);
  });
}
