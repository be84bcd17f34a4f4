/** A photo through the phone's own camera: works where the browser gives no live picture. */
import { useRef, useState } from "preact/hooks";
import { photograph } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";

interface PhotoProps {
  taken: boolean;
  onPhoto: (photo: string) => void;
  word?: string;
}

export function PhotoButton({ taken, onPhoto, word }: PhotoProps) {
  const input = useRef<HTMLInputElement>(null);
  const [busy, setBusy] = useState(false);
  const take = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    const photo = await photograph(file);
    setBusy(false);
    if (photo) onPhoto(photo);
  };
  return (
    <>
      <button
        type="button"
        class="btn"
        aria-pressed={taken}
        aria-disabled={busy || undefined}
        onClick={() => !busy && input.current?.click()}
      >
        <Icon name={taken ? "check" : "photo"} />
        <span>{word ?? t("check.photo")}</span>
      </button>
      <input
        ref={input}
        type="file"
        accept="image/*"
        capture="environment"
        hidden
        aria-label={word ?? t("check.photo")}
        onChange={(event) => take(event.currentTarget.files?.[0])}
      />
    </>
  );
}
