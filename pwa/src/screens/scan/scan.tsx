/** The scanner: live camera, and beside it every other way to say a code. */
import { useEffect, useRef, useState } from "preact/hooks";
import { lastAnswer, scan, scanPhoto, sighted, startCamera, undo } from "../../app-model";
import type { Camera, CameraTrouble } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { useKept } from "./freeze-behind-answer";
import { NextCardLine } from "../next/line";
import { Said } from "../shared/server-text";
import { stepsAhead } from "../shared/steps";
import { UndoBar } from "./undo";

export function Scan() {
  const [typing, setTyping] = useState(false);
  return (
    <Frame
      title={t("scan.title")}
      thumb={
        <div class="pair pair-two">
          <Button icon="key" pressed={typing} onPress={() => setTyping(!typing)} id="type">
            {t("scan.typed")}
          </Button>
          <Button icon="list" onPress={() => go("not_on")}>
            {t("scan.tapped")}
          </Button>
        </div>
      }
    >
      <Undo />
      <Wanted />
      {typing ? <Typed /> : <Live />}
    </Frame>
  );
}

function Undo() {
  return (
    <>
      {useKept(() => (
        <UndoBar shown={lastAnswer.value} onUndo={undo} />
      ))}
    </>
  );
}

/** The label to look for. */
function Wanted() {
  return <>{useKept(wanted)}</>;
}

function wanted() {
  const code = stepsAhead.value[0];
  return code ? (
    <ul aria-label={t("tab.next")}>
      <NextCardLine code={code} />
    </ul>
  ) : null;
}

/** Two letters, a number, a check character: the last one catches a slip of the finger. */
function Typed() {
  const [code, setCode] = useState("");
  const take = async () => {
    if (code.trim() === "") return;
    if (await scan(code, "typed")) setCode("");
  };
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        void take();
      }}
    >
      <Field id="code" label={t("scan.code")} value={code} onInput={setCode} code />
      <button type="submit" class="btn btn-main" id="take">
        <Icon name="check" size={32} />
        <span>{t("scan.take")}</span>
      </button>
    </form>
  );
}

function Live() {
  const video = useRef<HTMLVideoElement>(null);
  const [camera, setCamera] = useState<Camera | null>(null);
  const [no, setNo] = useState<CameraTrouble | null>(null);
  const [light, setLight] = useState(false);

  useEffect(() => {
    let open: Camera | null = null;
    let gone = false;
    const begin = async () => {
      if (!video.current) return;
      const got = await startCamera(video.current, sighted);
      if (typeof got === "string") return setNo(got);
      if (gone) return got.stop();
      open = got;
      setCamera(got);
    };
    void begin();
    return () => {
      gone = true;
      open?.stop();
    };
  }, []);

  if (no) return <NoCamera trouble={no} />;
  const flip = async () => {
    await camera?.torch(!light);
    setLight(!light);
  };
  const taken = (trouble: CameraTrouble | null) => {
    setLight(false);
    setNo(trouble);
  };
  return (
    <>
      <div class="view">
        <video ref={video} playsInline muted autoplay aria-label={t("scan.title")} />
        <div class="view-aim" />
        <p class="view-say">{t("scan.aim")}</p>
      </div>
      {camera?.hasTorch && (
        <Button icon="torch" pressed={light} onPress={flip}>
          {t("scan.torch")}
        </Button>
      )}
      {camera && <LensChoice camera={camera} onTaken={taken} />}
    </>
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

/** No live picture: a photo does the same, more slowly; then typing. */
function NoCamera({ trouble }: { trouble: CameraTrouble }) {
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
      <Typed />
    </section>
  );
}
