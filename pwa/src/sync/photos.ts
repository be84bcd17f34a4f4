/** Pictures go after the events: a night can be signed without them. */
import { photoStored, unsentPhotos } from "../store/photos";
import { ask, Refusal } from "./api";

/** Too large, of another kind, broken: it would be refused for ever, and hold up the next. */
const NEVER = new Set([400, 413, 415, 422]);

export async function sendPhotos(show: string): Promise<void> {
  for (const photo of await unsentPhotos(show)) {
    const path = `/shows/${show}/photos?id=${encodeURIComponent(photo.id)}`;
    try {
      const { data } = await ask<{ photo: string }>(path, {
        method: "POST",
        blob: photo.blob,
        seconds: 60,
      });
      if (data) await photoStored(photo.id, data.photo);
    } catch (error) {
      if (!(error instanceof Refusal && NEVER.has(error.status))) throw error;
      await photoStored(photo.id, "");
    }
  }
}
