/** The server's addresses, typed. Three ends only: an answer, a refusal with words, or no answer. */

/** The server answered with a problem document (RFC 9457). */
export class Refusal extends Error {
  constructor(
    readonly status: number,
    readonly detail: string,
    readonly retryAfter: number | null,
  ) {
    super(`server: ${status} ${detail}`);
    this.name = "Refusal";
  }
}

/** No answer at all: no network, no server, or too slow. */
export class Unreachable extends Error {
  constructor(cause: unknown) {
    super("server: not reached", { cause });
    this.name = "Unreachable";
  }
}

export interface Answered<T> {
  data: T;
  etag: string | null;
  /** The server's clock, ms since 1970, to the second; null where the answer did not say. */
  server_time: number | null;
}

export interface Ask {
  method?: "GET" | "POST" | "PUT" | "DELETE";
  body?: unknown;
  /** Sent as it is, with its own type. */
  blob?: Blob;
  etag?: string | null;
  seconds?: number;
}

const WAIT_SECONDS = 20;
const JSON_TYPE = "application/json";

/** Ask the server; null data with an etag means that nothing changed (304). */
export async function ask<T>(path: string, ask: Ask = {}): Promise<Answered<T | null>> {
  const method = ask.method ?? "GET";
  const headers: Record<string, string> = { Accept: JSON_TYPE };
  // a form of another site can send neither this header nor this content type
  if (method !== "GET") headers["X-Rowcall"] = "1";
  if (ask.blob) headers["Content-Type"] = ask.blob.type;
  else if (method !== "GET") headers["Content-Type"] = JSON_TYPE;
  if (ask.etag) headers["If-None-Match"] = ask.etag;
  const init: RequestInit = { method, headers, credentials: "same-origin", cache: "no-store" };
  if (ask.blob) init.body = ask.blob;
  else if (method !== "GET") init.body = JSON.stringify(ask.body ?? {});
  return answered<T>(...(await within(path, init, ask.seconds ?? WAIT_SECONDS)));
}

/** Fetch and read to the end within the time, so that a server that stalls counts as none. */
async function within(
  path: string,
  init: RequestInit,
  seconds: number,
): Promise<[Response, string]> {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), seconds * 1000);
  try {
    const response = await fetch(`/api${path}`, { ...init, signal: stop.signal });
    return [response, await response.text()];
  } catch (error) {
    throw new Unreachable(error);
  } finally {
    clearTimeout(timer);
  }
}

function answered<T>(response: Response, text: string): Answered<T | null> {
  const date = Date.parse(response.headers.get("Date") ?? "");
  const server_time = Number.isNaN(date) ? null : date;
  const etag = response.headers.get("ETag");
  if (response.status === 304) return { data: null, etag, server_time };
  const json = parsed(text);
  if (response.ok) {
    if (json === undefined && text !== "") throw new Unreachable(`no JSON from ${response.url}`);
    return { data: (json ?? null) as T | null, etag, server_time };
  }
  const problem = (json ?? {}) as Problem;
  const retry = Number(response.headers.get("Retry-After"));
  const said = problem.detail ?? problem.title ?? response.statusText;
  const first = problem.errors?.[0]?.message ?? "";
  const detail = said.includes(first) ? said : `${said} ${first}`;
  throw new Refusal(response.status, detail, retry > 0 ? retry : null);
}

interface Problem {
  detail?: string;
  title?: string;
  errors?: readonly { message: string }[];
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
