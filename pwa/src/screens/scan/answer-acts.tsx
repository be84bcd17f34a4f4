/** What may be done about an answer, under the thumb. */
import { report, undo, type Answer, type Shown } from "../../app-model";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { checksFirst } from "../shared/checks-first";
import { go } from "../shared/navigation";
import { unloads } from "../shared/sequence";
import { isChief } from "../shared/who";
import { useOpenUntil } from "./undo";

/** A damaged or stray case goes on only if the chief says so. */
const mayAnyway = (kind: Answer["kind"]): boolean =>
  (kind === "damaged" || kind === "stray") && isChief.value;

/** Rows are opened from the door inwards, each with the reason; their straps count no longer. */
async function openRows(rows: readonly number[]): Promise<void> {
  for (const row of rows) await report({ kind: "opened", row, why: t("row.why_case") });
}

/** The drawing is one thing, the load another: who stands before it says so, and the record why. */
function standsAnyway({ code, move, row, checks }: Answer, read: Shown["read"]) {
  const stands = t(unloads(move) ? "blocked.off" : "blocked.stands");
  const why = checks.length > 0 ? `${stands} · ${t("check.first", { n: checks.length })}` : stands;
  if (unloads(move)) return report({ kind: "off", code, read, why });
  return report({ kind: "on", code, read, row, why });
}

interface ActsProps {
  shown: Shown;
  /** Strapped rows to be opened first, door first. */
  buried: readonly number[];
  passes: boolean;
  onDismiss: () => void;
}

export function Acts({ shown, buried, passes, onDismiss }: ActsProps) {
  const { answer, event, read } = shown;
  const { kind, code } = answer;
  const canUndo = useOpenUntil(shown.undo_until ?? 0);
  const then = (act: () => unknown) => () => {
    onDismiss();
    void act();
  };
  const load = () => report({ kind: "on", code, read, row: null, why: t("answer.anyway") });
  const loading = !unloads(answer.move);
  const open = checksFirst();
  const checks = open.length > 0 && (kind === "blocked" || mayAnyway(kind)) ? open : [];
  return (
    <div class="acts">
      {event && canUndo && (
        <Button icon="undo" onPress={then(() => undo(event))} id="undo">
          {t("undo")}
        </Button>
      )}
      {checks[0] && (
        <Button icon="check" onPress={then(() => go("checks", checks[0]))} id="to-checks">
          {t("check.go")}
        </Button>
      )}
      {kind === "blocked" && (checks.length === 0 || isChief.value) && (
        <Button icon="hand" onPress={then(() => standsAnyway(answer, read))} id="stands">
          {t(loading ? "blocked.stands" : "blocked.off")}
        </Button>
      )}
      {buried.length > 0 && (
        <Button icon="strap" onPress={then(() => openRows(buried))} id="open-rows">
          {t("answer.open_rows", { rows: buried.join(", ") })}
        </Button>
      )}
      {kind === "other_vehicle" && isChief.value && (
        <Button icon="swap" onPress={then(() => go("wrong", code))}>
          {t("wrong.decide")}
        </Button>
      )}
      {kind === "unknown" && answer.refused?.kind !== "empty" && (
        <Button icon="plus" onPress={then(() => go("add", code))}>
          {t("answer.add")}
        </Button>
      )}
      {kind === "already" && loading && (
        <Button icon="out" onPress={then(() => report({ kind: "off", code, read }))}>
          {t("answer.take_off")}
        </Button>
      )}
      {loading && mayAnyway(kind) && checks.length === 0 && (
        <Button icon="truck" onPress={then(load)}>
          {t(kind === "damaged" ? "answer.anyway_on" : "answer.anyway")}
        </Button>
      )}
      <Button tone="main" icon={passes ? "next" : "check"} onPress={onDismiss} id="dismiss">
        {t(passes ? "answer.next" : "answer.ok")}
      </Button>
    </div>
  );
}
