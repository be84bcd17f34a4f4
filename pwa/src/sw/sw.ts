/**
 * Keeps the files of one build and serves them; it knows no rules of the evening.
 *
 * A new build is fetched whole beside the old one and waits: it takes over only when the page says
 * so (between two vehicles), or when no page is open any more.
 */
interface Kept {
  url: string;
  digest: string;
}

/** Written by tools/build-plugins.ts: every file of a whole night, scanner and all. */
declare const __PRECACHE__: { build: string; files: Kept[] };

// the compiler's worker library types `self` for every kind of worker
const worker = self as unknown as ServiceWorkerGlobalScope;
const { build: BUILD, files: FILES } = __PRECACHE__;
const PREFIX = "rowcall-";
const DIGEST = "x-rowcall-digest";
const NAME = PREFIX + BUILD;
/** Photos of cases lie beside the builds: a new build has no need to fetch them again. */
const PHOTOS = "photos-of-cases";
const PHOTO = /^\/api\/shows\/[^/]+\/cases\/[^/]+\/photos\/[^/]+$/;
const MOST_PHOTOS = 500;
const KNOWN = new Map(FILES.map((file) => [file.url, file]));

worker.addEventListener("install", (event) => event.waitUntil(fill()));
worker.addEventListener("activate", (event) => event.waitUntil(tidy()));
worker.addEventListener("message", (event) => {
  if (event.data === "take-over") void worker.skipWaiting();
});
worker.addEventListener("fetch", (event) => {
  const answer = choose(event.request);
  if (answer) event.respondWith(answer);
});

async function fill(): Promise<void> {
  const cache = await caches.open(NAME);
  await Promise.all(FILES.map((file) => store(cache, file)));
}

/** A name that holds a digest never changes what it holds (server/api/client.py says so too). */
const HASHED = /-[\w-]{8,}\.[a-z0-9]+$/;

/** Take a file from the build before where it is the same there; else from the server. What the page
 * itself has just loaded is not loaded twice: only a name without a digest goes past the caches. */
async function store(cache: Cache, file: Kept): Promise<void> {
  const before = await caches.match(file.url);
  if (before?.headers.get(DIGEST) === file.digest) return cache.put(file.url, before);
  const how = HASHED.test(file.url) ? "default" : "reload";
  const fresh = await fetch(file.url, { cache: how, credentials: "same-origin" });
  if (!fresh.ok) throw new Error(`${file.url}: expected an answer of 200, got ${fresh.status}`);
  const headers = new Headers(fresh.headers);
  headers.set(DIGEST, file.digest);
  // what is kept is already unpacked
  headers.delete("content-encoding");
  headers.delete("content-length");
  await cache.put(file.url, new Response(await fresh.arrayBuffer(), { headers }));
}

/**
 * Drop older builds but one: a page of the build before may still ask for a late chunk.
 *
 * The very first worker takes its page over at once: a phone that has just joined may lose the
 * network before its first reload, and must find the scanner all the same.
 */
async function tidy(): Promise<void> {
  const ours = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  const before = ours.filter((name) => name !== NAME);
  await Promise.all(before.slice(0, -1).map((name) => caches.delete(name)));
  if (before.length === 0) await worker.clients.claim();
}

function choose(request: Request): Promise<Response> | null {
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== worker.location.origin) return null;
  if (request.mode === "navigate") return isCrewPage(url) ? page(request) : null;
  if (url.pathname === "/") return null;
  if (PHOTO.test(url.pathname)) return photo(request);
  if (KNOWN.has(url.pathname) || url.pathname.startsWith("/assets/")) return kept(request, url);
  return null;
}

/** The office and the server's own addresses always go to the network. */
function isCrewPage(url: URL): boolean {
  const first = url.pathname.split("/")[1] ?? "";
  return !["api", "office", "healthz", "metrics"].includes(first) && !first.includes(".");
}

async function page(request: Request): Promise<Response> {
  const cache = await caches.open(NAME);
  return (await cache.match("/")) ?? fetch(request);
}

async function kept(request: Request, url: URL): Promise<Response> {
  const cache = await caches.open(NAME);
  const own = await cache.match(url.pathname);
  return own ?? (await caches.match(url.pathname)) ?? fetch(request);
}

/** A photo never changes; the oldest go when there are too many, and none is needed for the work. */
async function photo(request: Request): Promise<Response> {
  const cache = await caches.open(PHOTOS);
  const held = await cache.match(request.url);
  if (held) return held;
  const fresh = await fetch(request);
  if (fresh.ok) await keepPhoto(cache, request.url, fresh.clone()).catch(() => undefined);
  return fresh;
}

async function keepPhoto(cache: Cache, url: string, fresh: Response): Promise<void> {
  await cache.put(url, fresh);
  const all = await cache.keys();
  await Promise.all(all.slice(0, -MOST_PHOTOS).map((old) => cache.delete(old)));
}

export {};
