/** An old sticker bound to a case: scan it, choose the case; from then on it is as good as a label. */
import { useEffect, useState } from "preact/hooks";
import { bundle, catchScans } from "../../app-model";
import type { CameraTrouble } from "../../app-model-scan";
import { bindTag } from "../../app-model-chief";
import { t } from "../../i18n";
import { Button, Field } from "../../ui/parts";
import { Live } from "../scan/live";
import { Frame } from "../shared/frame";
import { caseName } from "../shared/names";
import { screen } from "../shared/navigation";
import { Said } from "../shared/server-text";

const MOST = 12;
const LONGEST = 60;

export function Bind() {
  const [tag, setTag] = useState(screen.value.arg.slice(0, LONGEST));
  const [said, setSaid] = useState<string | null>(null);
  const [bound, setBound] = useState<string | null>(null);
  const bind = async (code: string) => {
    const trouble = await bindTag(code, tag);
    setSaid(trouble);
    setBound(trouble === null ? code : null);
  };
  const again = () => {
    setTag("");
    setBound(null);
    setSaid(null);
  };
  return (
    <Frame title={t("bind.title")}>
      {tag === "" ? <Seek onTag={(text) => setTag(text.trim().slice(0, LONGEST))} /> : null}
      {tag !== "" && (
        <p class="card">
          {t("bind.tag")} <span class="code">{tag}</span>
        </p>
      )}
      {said !== null && (
        <p class="trouble" role="status">
          {said === "offline" ? t("bind.offline") : <Said text={said} />}
        </p>
      )}
      {bound !== null && (
        <p class="card card-go" role="status" id="bound">
          {t("bind.done")} <span class="code">{bound}</span> {caseName(bound)}
        </p>
      )}
      {tag !== "" && bound === null && <Cases onPick={bind} />}
      {tag !== "" && (
        <Button icon="scan" onPress={again} id="bind-again">
          {t("bind.again")}
        </Button>
      )}
    </Frame>
  );
}

function Cases({ onPick }: { onPick: (code: string) => void }) {
  const [sought, setSought] = useState("");
  return (
    <section class="stack" aria-label={t("bind.which")}>
      <Field id="bind-find" label={t("bind.which")} value={sought} onInput={setSought} />
      {found(sought).map((code) => (
        <Button key={code} icon="check" onPress={() => onPick(code)}>
          <span class="code">{code}</span> {caseName(code)}
        </Button>
      ))}
    </section>
  );
}

/** The camera, for codes of every kind; a scanner that types works as well. */
function Seek({ onTag }: { onTag: (text: string) => void }) {
  const [no, setNo] = useState<CameraTrouble | null>(null);
  const [typed, setTyped] = useState("");
  useEffect(() => {
    catchScans(onTag, true);
    return () => catchScans(null);
  }, []);
  return (
    <>
      <p class="note">{t("bind.scan")}</p>
      {no ? <p class="note">{t("scan.off")}</p> : <Live onTrouble={setNo} idle={false} />}
      <form
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          if (typed.trim() !== "") onTag(typed);
        }}
      >
        <Field id="bind-tag" label={t("bind.tag")} value={typed} onInput={setTyped} />
        <button type="submit" class="btn btn-main" id="bind-take">
          <span>{t("scan.take")}</span>
        </button>
      </form>
    </>
  );
}

/** Cases whose code or name holds what is sought; those of this show first. */
function found(sought: string): string[] {
  const words = sought.toUpperCase().split(/\s+/).filter(Boolean);
  const cards = Object.values(bundle.value?.cases ?? {}).filter((card) => {
    const text = `${card.code} ${card.name}`.toUpperCase();
    return words.every((word) => text.includes(word));
  });
  const here = (drop: number | null) => (drop === null ? 1 : 0);
  return cards
    .sort((a, b) => here(a.drop) - here(b.drop) || (a.code < b.code ? -1 : 1))
    .slice(0, MOST)
    .map(({ code }) => code);
}
