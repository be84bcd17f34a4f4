/** Room on the phone: asked to be kept after the first real use, watched before it runs out. */
import { trouble } from "./signals";

const FULL_SHARE = 0.8;
let asked = false;

/** Ask once that the browser keeps our data; the answer may be no, and then all still works. */
export async function askToKeep(): Promise<void> {
  if (asked) return;
  asked = true;
  // both are missing in some engines, whatever the types say
  const storage = (navigator as { storage?: Partial<StorageManager> }).storage;
  await storage?.persist?.().catch(() => false);
  const room = await storage?.estimate?.().catch(() => null);
  if (room?.quota && (room.usage ?? 0) / room.quota > FULL_SHARE)
    trouble.value = { kind: "storage_nearly_full", detail: `${room.usage} of ${room.quota} bytes` };
}
