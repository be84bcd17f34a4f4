/** The server's live stream: it only says that there is news; the news is fetched by cursor. */

interface StreamNews {
  cursor: (cursor: number) => void;
  bundle: (revision: number) => void;
}

const FIRST_RETRY_MS = 5_000;
const LAST_RETRY_MS = 60_000;

let source: EventSource | null = null;
let timer: ReturnType<typeof setTimeout> | undefined;
let pause = FIRST_RETRY_MS;

export function streaming(): boolean {
  return source?.readyState === EventSource.OPEN;
}

/** Open the one stream of this phone; a broken one comes back by itself, later each time. */
export function openStream(show: string, since: number, news: StreamNews): void {
  if (source) return;
  clearTimeout(timer);
  const opened = new EventSource(`/api/shows/${encodeURIComponent(show)}/stream?since=${since}`);
  source = opened;
  opened.addEventListener("open", () => {
    pause = FIRST_RETRY_MS;
  });
  opened.addEventListener("cursor", (event: MessageEvent<string>) => {
    news.cursor(number(event.data, "cursor"));
  });
  opened.addEventListener("bundle", (event: MessageEvent<string>) => {
    news.bundle(number(event.data, "revision"));
  });
  opened.addEventListener("error", () => {
    // the browser's own retry comes every 3 s and for ever: too often for a dead dock
    closeStream();
    timer = setTimeout(() => openStream(show, since, news), pause);
    pause = Math.min(pause * 2, LAST_RETRY_MS);
  });
}

/** Close it, as when the page is hidden: a phone in a pocket needs no stream. */
export function closeStream(): void {
  clearTimeout(timer);
  source?.close();
  source = null;
}

function number(data: string, key: string): number {
  const value = (JSON.parse(data) as Record<string, unknown>)[key];
  return typeof value === "number" ? value : -1;
}
