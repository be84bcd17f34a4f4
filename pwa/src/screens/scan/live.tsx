/** The live picture: only the label in the drawn frame counts, all others are marked as seen. */
import { useEffect, useRef, useState } from "preact/hooks";
import { chooseSeen, sighted, sights } from "../../app-model";
import { startCamera, type Camera, type CameraTrouble } from "../../app-model-scan";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { caseName } from "../shared/names";

interface LiveProps {
  onTrouble: (trouble: CameraTrouble) => void;
  /** Open, but out of sight: nothing that it sees counts. */
  idle: boolean;
}

export function Live({ onTrouble, idle }: LiveProps) {
  const away = useRef(idle);
  away.current = idle;
  const video = useRef<HTMLVideoElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  const [camera, setCamera] = useState<Camera | null>(null);
  const [light, setLight] = useState(false);

  useEffect(() => {
    let open: Camera | null = null;
    let gone = false;
    const begin = async () => {
      if (!video.current) return;
      const got = await startCamera(video.current, frame.current, (look, regions) => {
        if (!away.current) sighted(look, regions);
      });
      if (typeof got === "string") return onTrouble(got);
      if (gone) return got.stop();
      open = got;
      setCamera(got);
    };
    void begin();
    return () => {
      gone = true;
      sights.value = null;
      open?.stop();
    };
  }, []);

  const flip = async () => {
    await camera?.torch(!light);
    setLight(!light);
  };
  const taken = (trouble: CameraTrouble | null) => {
    setLight(false);
    if (trouble) onTrouble(trouble);
  };
  return (
    <>
      <div class={idle ? "view view-idle" : "view"}>
        <video ref={video} playsInline muted autoplay aria-label={t("scan.title")} />
        <div class="view-aim" ref={frame} />
        <Marks />
        <Says torch={camera?.hasTorch === true && !light} />
      </div>
      {camera?.hasTorch && !idle && (
        <Button icon="torch" pressed={light} onPress={flip}>
          {t("scan.torch")}
        </Button>
      )}
      {camera && !idle && <LensChoice camera={camera} onTaken={taken} />}
    </>
  );
}

/** Every label that the camera sees, drawn where it lies: full where aimed at, thin elsewhere. */
function Marks() {
  const now = sights.value;
  if (!now || now.hits.length === 0) return null;
  const { shown, outside } = now;
  const at = ([x = 0, y = 0]: number[]) =>
    `${((x - shown.x) / shown.width) * 100},${((y - shown.y) / shown.height) * 100}`;
  return (
    <svg class="view-marks" viewBox="0 0 100 100" preserveAspectRatio="none" aria-hidden="true">
      {now.hits.map((hit, index) => (
        <polygon
          key={index}
          points={hit.box.map(at).join(" ")}
          class={outside.includes(hit.text) ? "seen-outside" : "seen-inside"}
        />
      ))}
    </svg>
  );
}

/** One line of words under the picture, or the labels between which a tap decides. */
function Says({ torch }: { torch: boolean }) {
  const now = sights.value;
  if (now && now.choose.length > 0) return <Choices texts={now.choose} />;
  return (
    <p class="view-say" id="view-say" role="status">
      {t(word(torch))}
    </p>
  );
}

function word(torch: boolean) {
  const now = sights.value;
  if (now?.quality === "dark") return torch ? "scan.dark_torch" : "scan.dark";
  if (now?.quality === "blurred") return "scan.blurred";
  if (now && now.hits.length > 0 && now.hits.length === now.outside.length) return "scan.outside";
  return "scan.aim";
}

function Choices({ texts }: { texts: readonly string[] }) {
  return (
    <div class="view-say stack" role="group" aria-label={t("scan.which")} id="which">
      <p>{t("scan.which")}</p>
      {texts.slice(0, 4).map((text) => (
        <Button key={text} icon="scan" onPress={() => chooseSeen(text)}>
          <span class="code">{text}</span> {caseName(text)}
        </Button>
      ))}
    </div>
  );
}

/** A phone's wide lens cannot read a label near by: the next one may; the phone remembers which. */
function LensChoice(props: { camera: Camera; onTaken: (trouble: CameraTrouble | null) => void }) {
  const { camera, onTaken } = props;
  const [all, setAll] = useState<string[]>([]);
  const [at, setAt] = useState(0);
  useEffect(() => {
    const look = async () => {
      const ids = (await camera.lenses()).map((lens) => lens.id);
      setAll(ids);
      setAt(Math.max(0, ids.indexOf(camera.lens ?? "")));
    };
    void look().catch(() => undefined); // without a list there is no choice
  }, [camera]);
  if (all.length < 2) return null;
  const take = async () => {
    const next = (at + 1) % all.length;
    setAt(next);
    onTaken(await camera.useLens(all[next] ?? ""));
  };
  return (
    <Button icon="photo" id="lens" onPress={take}>
      {t("scan.lens", { at: at + 1, of: all.length })}
    </Button>
  );
}
