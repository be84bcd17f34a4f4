/**
 * Leaving a show: facts that were sent remain here until the server could no longer lose them.
 *
 * A server that was restored from an older backup lacks what came after it; whoever comes back with
 * the same storage sends it again. So facts are deleted once two backups hold them, once the show
 * has been closed for a day, or when no code of the show can let anybody in any more.
 */
import { forgetEverything, forgetPictures, withDatabase, write } from "./db";
import { readTo } from "./log";
import { readMeta } from "./meta";

const DAY_MS = 86_400_000;
/** A join code lasts a week at most. */
const LATEST_MS = 8 * DAY_MS;

/** Time as the server has it: a phone whose clock is days ahead deletes nothing early. */
async function serverTime(): Promise<number> {
  return Date.now() + ((await readMeta("counters"))?.clock.offset ?? 0);
}

/** Whether the server can no longer lose what this phone knows of a show. */
async function isSafe(show: string): Promise<boolean> {
  const rows = await withDatabase((db) => db.getAllFromIndex("log", "show", show));
  const closed = rows.find(({ event: { body, by } }) => {
    return body.kind === "closed" && by.role !== "loader";
  });
  if (closed?.at !== undefined && (await serverTime()) > closed.at + DAY_MS) return true;
  const { backed_up = 0 } = await readTo(show);
  return rows.every(({ at }) => at !== undefined && at <= backed_up);
}

/** Forget who was in and what the show needs; its facts too where that is safe. */
export async function leaveShow(show: string): Promise<void> {
  const left = (await readMeta("left")) ?? {};
  if ((await isSafe(show)) && Object.keys(left).length === 0) return forgetEverything();
  const at = await serverTime();
  const bundles = await withDatabase((db) => db.getAll("bundles"));
  const refused = await withDatabase((db) => db.getAll("refused"));
  await write(["meta", "bundles", "refused"], async (work) => {
    await Promise.all([
      ...bundles.map((one) => work.objectStore("bundles").delete(one.show)),
      ...refused.map((one) => work.objectStore("refused").delete(one.id)),
      work.objectStore("meta").delete("session"),
      work.objectStore("meta").delete("prefs"),
      work.objectStore("meta").put({ key: "left", value: { ...left, [show]: at } }),
    ]);
  });
  await forgetPictures();
}

/** Delete the facts of shows that were left, as far as that is safe by now. */
export async function forgetLeft(): Promise<void> {
  const left = (await readMeta("left")) ?? {};
  const here = (await readMeta("session"))?.show;
  const now = await serverTime();
  for (const [show, at] of Object.entries(left)) {
    const due = show !== here && (now > at + LATEST_MS || (await isSafe(show)));
    if (due) await forgetFacts(show);
    if (due || show === here) delete left[show];
  }
  await write(["meta"], (work) => work.objectStore("meta").put({ key: "left", value: left }));
}

async function forgetFacts(show: string): Promise<void> {
  const rows = await withDatabase((db) => db.getAllFromIndex("log", "show", show));
  await write(["log", "cursors"], async (work) => {
    const log = work.objectStore("log");
    await Promise.all(rows.map(({ id }) => log.delete(id)));
    await work.objectStore("cursors").delete(show);
  });
}
