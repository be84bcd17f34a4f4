/** Gathers another phone's run of codes from the camera. */
import { Gathering } from "../core/frames";
import { takeCarried } from "./carry";
import { handover } from "./signals";

const gathering = new Gathering();
let taken = "";

/** Take one frame; when the run is whole its events are kept and carried on to the server. */
export async function collectFrame(text: string): Promise<void> {
  const run = text.split("/").slice(1, 2).join();
  if (run === taken) return;
  const progress = gathering.take(text);
  if (!progress) return;
  handover.value = { have: progress.have, total: progress.total, fresh: null, failed: null };
  if (!progress.payload) return;
  taken = run;
  await takeCarried(progress.payload, progress.total);
}
