/** A photo that the server keeps; without a connection its place says so in words. */
import { useState } from "preact/hooks";
import { session } from "../../app-model";
import { t } from "../../i18n";

export function PhotoView({ photo, text }: { photo: string; text: string }) {
  const [lost, setLost] = useState(false);
  const show = session.value?.show;
  if (lost || !show) return <p class="soft">{t("photo.not_here")}</p>;
  return (
    <img
      class="photo"
      src={`/api/shows/${encodeURIComponent(show)}/photos/${encodeURIComponent(photo)}`}
      alt={text}
      onError={() => setLost(true)}
    />
  );
}
