/** Pictures taken here; unlike events they may go to make room, once the server has them. */
import { withDatabase, type Photo } from "./db";

export async function keepPhoto(photo: Photo): Promise<void> {
  await withDatabase((db) => db.put("photos", photo));
}

export async function unsentPhotos(show: string): Promise<Photo[]> {
  const all = await withDatabase((db) => db.getAll("photos"));
  return all.filter((photo) => photo.show === show && photo.stored === null);
}

export async function photoStored(id: string, stored: string): Promise<void> {
  await withDatabase(async (db) => {
    const photo = await db.get("photos", id);
    if (photo) await db.put("photos", { ...photo, stored });
  });
}

/** Send the photos of a show again: its server was restored from a backup. */
export async function photosAgain(show: string): Promise<void> {
  const all = await withDatabase((db) => db.getAll("photos"));
  const sent = all.filter((photo) => photo.show === show && photo.stored);
  for (const photo of sent) await keepPhoto({ ...photo, stored: null });
}

/** Drop what the server has; returns how many went. */
export async function dropSentPhotos(): Promise<number> {
  return withDatabase(async (db) => {
    const work = db.transaction("photos", "readwrite");
    const sent = (await work.store.getAll()).filter((photo) => photo.stored !== null);
    await Promise.all([...sent.map((photo) => work.store.delete(photo.id)), work.done]);
    return sent.length;
  });
}
