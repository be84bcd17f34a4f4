/** The scanner: live camera, and beside it every other way to say a code. */
import { useEffect, useRef, useState } from "preact/hooks";
import { lastAnswer, scan, undo } from "../../app-model";
import type { CameraTrouble } from "../../app-model-scan";
import type { RowState } from "../../core/state";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { LaterRows, rowToStrap, StrapBody, StrapThumb } from "../next/row-now";
import { useStraps } from "../next/strap";
import { answering } from "./answer";
import { useKept } from "./freeze-behind-answer";
import { NextCardLine } from "../next/line";
import { Live } from "./live";
import { stepsAhead } from "../shared/steps";
import { UndoBar } from "./undo";

/** The row that wants straps, as it was before an answer covers the screen. */
function useRowToStrap(): RowState | null {
  const kept = useRef<RowState | null>(null);
  const row = rowToStrap.value;
  if (!answering.value) kept.current = row;
  return kept.current;
}

/** When the last case of a row is on, the scanner itself asks for the straps. */
export function Scan() {
  const [typing, setTyping] = useState(false);
  const [no, setNo] = useState<CameraTrouble | null>(null);
  const row = useRowToStrap();
  const straps = useStraps(row);
  return (
    <Frame
      title={row ? t("strap.row_full", { row: row.number }) : t("scan.title")}
      thumb={
        row ? (
          <StrapThumb row={row} straps={straps} />
        ) : (
          <Ways typing={typing} onType={() => setTyping(!typing)} />
        )
      }
    >
      <LaterRows />
      <Undo />
      {row ? <StrapBody row={row} straps={straps} /> : <Wanted />}
      {typing && !row && <Typed />}
      {no && !typing && !row && <Without trouble={no} />}
      {/* the camera stays open behind the straps: some browsers ask for it anew each time */}
      {!typing && !no && <Live onTrouble={setNo} idle={row !== null} />}
    </Frame>
  );
}

type NoCamera = typeof import("./no-camera").NoCamera;

/** What to do without a live camera; few phones ever load it. */
function Without({ trouble }: { trouble: CameraTrouble }) {
  const [Shown, setShown] = useState<{ is: NoCamera } | null>(null);
  useEffect(() => {
    void import("./no-camera").then(({ NoCamera }) => setShown({ is: NoCamera }));
  }, []);
  return (
    <>
      {Shown && <Shown.is trouble={trouble} />}
      <Typed />
    </>
  );
}

/** Other ways to say a code, and the way back. */
function Ways({ typing, onType }: { typing: boolean; onType: () => void }) {
  return (
    <div class="pair pair-three">
      <Button icon="key" pressed={typing} onPress={onType} id="type">
        {t("scan.typed")}
      </Button>
      <Button icon="list" onPress={() => go("not_on")}>
        {t("scan.tapped")}
      </Button>
      <Button icon="undo" onPress={() => go("recent")} id="last-ten">
        {t("recent.open")}
      </Button>
    </div>
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
