/** The office's calls: an answer, or a refusal with words for every wrong field. */

export interface Fault {
  field: string;
  message: string;
  row?: number;
  column?: string;
  expected?: string;
  got?: string;
}

/** A field that two people changed: what it was, what each made of it, who did when. */
export interface Conflict {
  field: string;
  before: unknown;
  yours: unknown;
  theirs: unknown;
  by: string;
  at: number;
}

/** The server said no, or did not answer (status 0). */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly detail: string,
    readonly faults: readonly Fault[],
    readonly conflicts: readonly Conflict[] = [],
    /** The version that is kept there now, where the document has one. */
    readonly version = "",
  ) {
    super(detail);
    this.name = "Refused";
  }
}

type Method = "GET" | "POST" | "PUT" | "PATCH" | "DELETE";
const JSON_TYPE = "application/json";

/** Ask the server for JSON. */
export async function call<T>(method: Method, path: string, body?: unknown): Promise<T> {
  return (await answered<T>(method, path, body)).json;
}

/** An answer with the version of the document (its ETag); `seen`: the version that is changed. */
export function answered<T>(
  method: Method,
  path: string,
  body?: unknown,
  seen = "",
): Promise<{ json: T; version: string }> {
  const init: RequestInit = { method };
  if (method !== "GET") init.body = JSON.stringify(body ?? {});
  if (seen !== "") init.headers = { "If-Match": seen };
  return send<T>(path, init, JSON_TYPE);
}

/** Send a file as it is. */
export async function put<T>(path: string, file: Blob, type: string): Promise<T> {
  return (await send<T>(path, { method: "POST", body: file }, type)).json;
}

async function send<T>(
  path: string,
  init: RequestInit,
  type: string,
): Promise<{ json: T; version: string }> {
  const given = init.headers as Record<string, string> | undefined;
  const headers: Record<string, string> = { Accept: JSON_TYPE, ...given };
  if (init.method !== "GET") {
    headers["X-Rowcall"] = "1";
    headers["Content-Type"] = type;
  }
  let response: Response;
  try {
    response = await fetch(`/api${path}`, { ...init, headers, credentials: "same-origin" });
  } catch {
    throw new Refused(0, "The server does not answer. Nothing was changed.", []);
  }
  const json: unknown = await response.json().catch(() => null);
  const version = response.headers.get("ETag") ?? "";
  if (response.ok) return { json: json as T, version };
  const problem = (json ?? {}) as {
    detail?: string;
    title?: string;
    errors?: Fault[];
    conflicts?: Conflict[];
  };
  const detail = problem.detail ?? problem.title ?? response.statusText;
  const { errors = [], conflicts = [] } = problem;
  throw new Refused(response.status, detail, errors, conflicts, version);
}

/** Fetch a file and hand it to the browser to be saved. */
export async function save(path: string, name: string, body?: unknown): Promise<void> {
  const init: RequestInit = { method: body === undefined ? "GET" : "POST" };
  if (body !== undefined) {
    init.headers = { "X-Rowcall": "1", "Content-Type": JSON_TYPE };
    init.body = JSON.stringify(body);
  }
  const response = await fetch(`/api${path}`, { ...init, credentials: "same-origin" });
  if (!response.ok) {
    const problem = (await response.json().catch(() => ({}))) as { detail?: string };
    throw new Refused(response.status, problem.detail ?? response.statusText, []);
  }
  const url = URL.createObjectURL(await response.blob());
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
