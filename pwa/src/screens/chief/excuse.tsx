/** The chief accounts for a case that is not on: one of four ways, each with what it needs. */
import { useState } from "preact/hooks";
import { bundle, leg, report, vehicle } from "../../app-model";
import type { Body, ExcuseWhy } from "../../core/events";
import { t } from "../../i18n";
import { Mark } from "../../ui/mark";
import { Button, Choice, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { back, screen } from "../shared/navigation";
import { caseName } from "../shared/names";

export function Excuse() {
  const code = screen.value.arg;
  const [why, setWhy] = useState<ExcuseWhy | null>(null);
  const [custodian, setCustodian] = useState("");
  const [until, setUntil] = useState("");
  const [spare, setSpare] = useState("");
  const [other, setOther] = useState<string | null>(null);
  const [note, setNote] = useState("");
  const known = leg.value?.excused[code];

  const ready =
    (why === "left_on_purpose" && custodian.trim() !== "" && until.trim() !== "") ||
    why === "never_came" ||
    (why === "swapped" && spare.trim() !== "") ||
    (why === "other_vehicle" && other !== null);

  const save = async () => {
    if (!why || !ready) return;
    const body: Body = {
      kind: "excused",
      code,
      why,
      ...(why === "left_on_purpose"
        ? { custodian: custodian.trim(), collect_by: until.trim() }
        : {}),
      ...(why === "swapped" ? { for_code: spare.trim().toUpperCase() } : {}),
      ...(why === "other_vehicle" && other ? { to_vehicle: other } : {}),
      ...(note.trim() ? { note: note.trim() } : {}),
    };
    if (await report(body)) back();
  };

  return (
    <Frame
      title={t("excuse.title", { code })}
      thumb={
        <Button tone="main" icon="check" busy={!ready} onPress={save} id="excuse">
          {t("excuse.save")}
        </Button>
      }
    >
      <h2>{caseName(code)}</h2>
      {known && (
        <Button icon="undo" onPress={() => report({ kind: "unexcused", code })}>
          {t("excuse.back")}
        </Button>
      )}
      <Choice
        name={t("excuse.why")}
        value={why}
        options={[
          { value: "left_on_purpose", word: t("noton.left_on_purpose"), icon: "stay" },
          { value: "never_came", word: t("noton.never_came"), icon: "never" },
          { value: "swapped", word: t("excuse.swapped"), icon: "swap" },
          { value: "other_vehicle", word: t("noton.other_vehicle"), icon: "truck" },
        ]}
        onChange={setWhy}
      />
      {why === "left_on_purpose" && (
        <>
          <Field
            id="custodian"
            label={t("excuse.custodian")}
            value={custodian}
            onInput={setCustodian}
          />
          <Field id="until" label={t("excuse.until")} value={until} onInput={setUntil} />
        </>
      )}
      {why === "swapped" && (
        <Field id="spare" label={t("excuse.spare")} value={spare} onInput={setSpare} code />
      )}
      {why === "other_vehicle" && <Others value={other} onChange={setOther} />}
      {why && <Field id="note" label={t("excuse.note")} value={note} onInput={setNote} />}
    </Frame>
  );
}

function Others(props: { value: string | null; onChange: (id: string) => void }) {
  const others = bundle.value?.vehicles.filter((one) => one.id !== vehicle.value?.id) ?? [];
  return (
    <div class="stack" role="radiogroup" aria-label={t("noton.other_vehicle")}>
      {others.map((one) => (
        <button
          key={one.id}
          type="button"
          role="radio"
          class="btn btn-left"
          aria-checked={props.value === one.id}
          onClick={() => props.onChange(one.id)}
        >
          <Mark mark={one.mark} size={40} />
          <span>{one.name}</span>
        </button>
      ))}
    </div>
  );
}
