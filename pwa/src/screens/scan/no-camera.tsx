/** Without a live camera: a photo does the same. */
import "../../i18n/with-late";
import { useRef, useState } from "preact/hooks";
import type { CameraTrouble } from "../../app-model-scan";
import { scanChosen, scanPhoto, type Chosen } from "../../app-model-chief";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Said } from "../shared/server-text";

/** No live picture: a photo does the same, more slowly; then typing. */
export function NoCamera({ trouble }: { trouble: CameraTrouble }) {
  const input = useRef<HTMLInputElement>(null);
  const [no, setNo] = useState<string | null>(null);
  const [none, setNone] = useState(false);
  const [busy, setBusy] = useState(false);
  const [choose, setChoose] = useState<readonly Chosen[]>([]);
  const read = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    const { read: found, shown, choose } = await scanPhoto(file);
    setBusy(false);
    setChoose(choose);
    const answered = shown !== null || choose.length > 0;
    setNo(answered ? null : found.refused);
    setNone(!answered && !found.refused);
  };
  const take = (code: string) => {
    setChoose([]);
    void scanChosen(code);
  };
  return (
    <section class="stack">
      <p class="note">{t(trouble === "refused" ? "scan.refused" : "scan.off")}</p>
      <Button icon="photo" busy={busy} onPress={() => input.current?.click()}>
        {t(busy ? "photo.reading" : "scan.photo")}
      </Button>
      <input
        ref={input}
        type="file"
        accept="image/*"
        capture="environment"
        aria-label={t("scan.photo")}
        hidden
        onChange={(event) => read(event.currentTarget.files?.[0])}
      />
      {choose.length > 0 && (
        <div class="stack" role="group" aria-label={t("scan.which")} id="which">
          <p>{t("scan.which")}</p>
          {choose.slice(0, 6).map(({ code, name }) => (
            <Button key={code} icon="scan" onPress={() => take(code)}>
              <span class="code">{code}</span> {name}
            </Button>
          ))}
        </div>
      )}
      {(no || none) && <p class="trouble">{no ? <Said text={no} /> : t("scan.none_in_photo")}</p>}
    </section>
  );
}
