/** The bundle in hand: everything one phone needs for a show. */
import type { Bundle } from "../core/bundle";
import { withDatabase } from "./db";

interface HeldBundle {
  bundle: Bundle;
  etag: string | null;
}

export async function heldBundle(show: string): Promise<HeldBundle | null> {
  return (await withDatabase((db) => db.get("bundles", show))) ?? null;
}

export async function holdBundle(show: string, held: HeldBundle): Promise<void> {
  await withDatabase((db) => db.put("bundles", { show, ...held }));
}
