/** A sticker of another system bound to a case: kept by the server, known to this phone at once. */
import { ask, Refusal, Unreachable } from "../sync/api";
import { bundle, session } from "./signals";

/** Null when it is kept; "offline", or why it is not, in the server's words. */
export async function bindTag(code: string, text: string): Promise<string | null> {
  try {
    const path = `/shows/${encodeURIComponent(session.value?.show ?? "")}/tags`;
    await ask(path, { method: "POST", body: { code, text } });
  } catch (error) {
    if (error instanceof Refusal) return error.detail;
    if (error instanceof Unreachable) return "offline";
    throw error;
  }
  const sheet = bundle.value;
  const card = sheet?.cases[code];
  if (sheet && card) {
    const tags = [...new Set([...(card.tags ?? []), text])];
    bundle.value = { ...sheet, cases: { ...sheet.cases, [code]: { ...card, tags } } };
  }
  return null;
}
