/** The chief ends the session of another phone of the show; what it holds stays on it. */
import { ask, Refusal, Unreachable } from "../sync/api";
import { refreshDevices } from "./sync";
import type { Fetched } from "./papers";
import { session } from "./signals";

/** Sign a phone out and ask anew how all phones stand. */
export async function signPhoneOut(device: string): Promise<Fetched> {
  try {
    const path = `/shows/${session.value?.show ?? ""}/devices/${encodeURIComponent(device)}/out`;
    await ask(path, { method: "POST" });
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, why: error.detail };
    if (error instanceof Unreachable) return { ok: false, why: null };
    throw error;
  }
  await refreshDevices();
  return { ok: true };
}
