/** The office's calls: an answer, or a refusal with words for every wrong field. */

export interface Fault {
  field: string;
  message: string;
  row?: number;
  column?: string;
  expected?: string;
  got?: string;
}

/** The server said no, or did not answer (status 0). */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly detail: string,
    readonly faults: readonly Fault[],
  ) {
    super(detail);
    this.name = "Refused";
  }
}

type Method = "GET" | "POST" | "PUT" | "DELETE";
const JSON_TYPE = "application/json";

/** Ask the server for JSON. */
export async function call<T>(method: Method, path: string, body?: unknown): Promise<T> {
  const init: RequestInit = { method };
  if (method !== "GET") init.body = JSON.stringify(body ?? {});
  return send<T>(path, init, JSON_TYPE);
}

/** Send a file as it is. */
export function put<T>(path: string, file: Blob, type: string): Promise<T> {
  return send<T>(path, { method: "POST", body: file }, type);
}

async function send<T>(path: string, init: RequestInit, type: string): Promise<T> {
  const headers: Record<string, string> = { Accept: JSON_TYPE };
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
  if (response.ok) return json as T;
  const problem = (json ?? {}) as { detail?: string; title?: string; errors?: Fault[] };
  const detail = problem.detail ?? problem.title ?? response.statusText;
  throw new Refused(response.status, detail, problem.errors ?? []);
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
