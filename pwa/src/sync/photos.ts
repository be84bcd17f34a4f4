/** Pictures go after the events: a night can be signed without them. */
import { photoStored, unsentPhotos } from "../store/photos";
import { ask } from "./api";

export async function sendPhotos(show: string): Promise<void> {
  for (const photo of await unsentPhotos(show)) {
    const path = `/shows/${show}/photos?id=${encodeURIComponent(photo.id)}`;
    const { data } = await ask<{ photo: string }>(path, {
      method: "POST",
      blob: photo.blob,
      seconds: 60,
    });
    if (data) await photoStored(photo.id, data.photo);
  }
}
