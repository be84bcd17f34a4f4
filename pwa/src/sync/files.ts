/** Whole files from the server: not JSON, and slower to make than an answer. */
import { Refusal, Unreachable } from "./api";

const WAIT_MS = 60_000;

/** Fetch a file; Refusal with the server's words, Unreachable without an answer. */
export async function fetchFile(path: string): Promise<Blob> {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), WAIT_MS);
  try {
    const init = { credentials: "same-origin", cache: "no-store", signal: stop.signal } as const;
    const response = await fetch(`/api${path}`, init);
    if (response.ok) return await response.blob();
    const problem = (await response.json().catch(() => ({}))) as { detail?: string };
    throw new Refusal(response.status, problem.detail ?? response.statusText, null);
  } catch (error) {
    throw error instanceof Refusal ? error : new Unreachable(error);
  } finally {
    clearTimeout(timer);
  }
}
