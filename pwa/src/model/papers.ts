/** Papers and records are made by the server alone: fetched, then handed to the phone to be kept. */
import { Refusal, Unreachable } from "../sync/api";
import { fetchFile } from "../sync/files";
import { session } from "./signals";

/** `why`: the server's own words; null where it was not reached. */
export type Fetched = { ok: true } | { ok: false; why: string | null };

/** Fetch one paper of this show (`sheet.pdf?vehicle=`, `record.pdf`, …) and save it by a name. */
export async function savePaper(which: string, name: string): Promise<Fetched> {
  try {
    const file = await fetchFile(`/shows/${session.value?.show ?? ""}/${which}`);
    const anchor = document.createElement("a");
    anchor.href = URL.createObjectURL(file);
    anchor.download = name;
    anchor.click();
    setTimeout(() => URL.revokeObjectURL(anchor.href), 10_000);
    return { ok: true };
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, why: error.detail };
    if (error instanceof Unreachable) return { ok: false, why: null };
    throw error;
  }
}
