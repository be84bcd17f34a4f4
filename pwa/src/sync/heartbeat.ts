/** Tells the server what this phone still holds back, so that the chief can see it. */
import { readMeta } from "../store/meta";
import { ask } from "./api";

const EVERY_MS = 30_000;

let told = "";
let told_at = 0;

export async function lastNumber(): Promise<number> {
  return (await readMeta("counters"))?.n ?? 0;
}

/** Send it when it changed, and now and then so that the chief sees the phone is alive. */
export async function sendHeartbeat(
  show: string,
  device: string,
  unsent: number,
  last_n: number,
): Promise<void> {
  const now = `${unsent} ${last_n}`;
  if (now === told && Date.now() - told_at < EVERY_MS) return;
  await ask(`/shows/${show}/heartbeat`, { method: "POST", body: { device, unsent, last_n } });
  told = now;
  told_at = Date.now();
}
