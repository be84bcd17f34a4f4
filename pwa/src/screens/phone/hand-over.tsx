/** No network at all: one phone shows its reports as codes, another reads them. */
import { useEffect, useRef, useState } from "preact/hooks";
import { collectSeen, handover } from "../../app-model";
import { startCamera } from "../../app-model-scan";
import { exportUnsent, importCarried, showHandover } from "../../app-model-chief";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";

type Way = "show" | "take" | null;

export function HandOver() {
  const [way, setWay] = useState<Way>(null);
  return (
    <Frame title={t("hand.title")}>
      <p>{t("hand.why")}</p>
      <div class="pair">
        <Button icon="phone" pressed={way === "show"} onPress={() => setWay("show")}>
          {t("hand.show")}
        </Button>
        <Button icon="scan" pressed={way === "take"} onPress={() => setWay("take")}>
          {t("hand.take")}
        </Button>
      </div>
      {way === "show" && <Show />}
      {way === "take" && <Take />}
      <FileWay />
    </Frame>
  );
}

function Show() {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [at, setAt] = useState({ n: 0, of: 0 });
  useEffect(() => {
    let stop = () => undefined as void;
    let gone = false;
    const begin = async () => {
      if (!canvas.current) return;
      const shown = await showHandover(canvas.current, true, (index) =>
        setAt((old) => ({ ...old, n: index + 1 })),
      );
      if (gone) return shown.stop();
      stop = shown.stop;
      setAt({ n: 1, of: shown.frames });
    };
    void begin();
    return () => {
      gone = true;
      stop();
    };
  }, []);
  return (
    <figure class="stack">
      <canvas ref={canvas} class="codes" aria-label={t("hand.show")} role="img" />
      <figcaption class="tall tab-num">{t("hand.part", at)}</figcaption>
    </figure>
  );
}

function Take() {
  const video = useRef<HTMLVideoElement>(null);
  const [no, setNo] = useState(false);
  const got = handover.value;
  useEffect(() => {
    let stop = () => undefined as void;
    let gone = false;
    const begin = async () => {
      if (!video.current) return;
      const camera = await startCamera(video.current, null, collectSeen);
      if (typeof camera === "string") return setNo(true);
      if (gone) return camera.stop();
      stop = camera.stop;
    };
    void begin();
    return () => {
      gone = true;
      stop();
    };
  }, []);
  if (no) return <p class="trouble">{t("scan.refused")}</p>;
  return (
    <section class="stack">
      <div class="view view-low">
        <video ref={video} playsInline muted autoplay aria-label={t("hand.take")} />
        <div class="view-aim" />
      </div>
      {got && (
        <p class="tall tab-num" role="status">
          {got.failed ??
            (got.fresh === null
              ? t("hand.part", { n: got.have, of: got.total })
              : t("hand.got", { n: got.fresh }))}
        </p>
      )}
    </section>
  );
}

/** The last resort: a file, by any means that two phones have. */
function FileWay() {
  const input = useRef<HTMLInputElement>(null);
  const [said, setSaid] = useState("");
  const take = async (file: File | undefined) => {
    if (!file) return;
    const got = await importCarried(file);
    setSaid(got.ok ? t("hand.got", { n: got.fresh }) : got.detail);
  };
  return (
    <section class="stack">
      <div class="pair">
        <Button icon="out" onPress={saveUnsent}>
          {t("link.export")}
        </Button>
        <Button icon="list" onPress={() => input.current?.click()}>
          {t("hand.file")}
        </Button>
      </div>
      <input
        ref={input}
        type="file"
        accept="application/json,.json"
        aria-label={t("hand.file")}
        hidden
        onChange={(event) => take(event.currentTarget.files?.[0])}
      />
      {said && <p class="note">{said}</p>}
    </section>
  );
}

/** A copy that lives outside the browser's own storage. */
export async function saveUnsent(): Promise<void> {
  const anchor = document.createElement("a");
  anchor.href = URL.createObjectURL(await exportUnsent());
  anchor.download = "rowcall-unsent.json";
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(anchor.href), 10_000);
}
