/** Without a live camera: a photo does the same. */
import "../../i18n/with-late";
import { useRef, useState } from "preact/hooks";
import type { CameraTrouble } from "../../app-model";
import { scanPhoto } from "../../app-model-chief";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Said } from "../shared/server-text";

/** No live picture: a photo does the same, more slowly; then typing. */
export function NoCamera({ trouble }: { trouble: CameraTrouble }) {
  const input = useRef<HTMLInputElement>(null);
  const [no, setNo] = useState<string | null>(null);
  const [none, setNone] = useState(false);
  const read = async (file: File | undefined) => {
    if (!file) return;
    const { read: found, shown } = await scanPhoto(file);
    setNo(shown ? null : found.refused);
    setNone(!shown && !found.refused);
  };
  return (
    <section class="stack">
      <p class="note">{t(trouble === "refused" ? "scan.refused" : "scan.off")}</p>
      <Button icon="photo" onPress={() => input.current?.click()}>
        {t("scan.photo")}
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
      {(no || none) && <p class="trouble">{no ? <Said text={no} /> : t("scan.none_in_photo")}</p>}
    </section>
  );
}
