/** The chief accounts for a case that is not on: one of four ways, each with what it needs. */
import { useState } from "preact/hooks";
import { bundle, leg, report, vehicle } from "../../app-model";
import type { Body, ExcuseWhy } from "../../core/events";
import type { Seen } from "../../core/state";
import { t } from "../../i18n";
import { Mark } from "../../ui/mark";
import { Button, Choice, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { back, screen } from "../shared/navigation";
import { caseName } from "../shared/names";
import { factAgainst, factWords } from "./facts";
import { Spare } from "./spare";

export function Excuse() {
  const code = screen.value.arg;
  const [why, setWhy] = useState<ExcuseWhy | null>(null);
  const [custodian, setCustodian] = useState("");
  const [until, setUntil] = useState("");
  const [spare, setSpare] = useState<string | null>(null);
  const [other, setOther] = useState<string | null>(null);
  const [note, setNote] = useState("");
  const known = leg.value?.excused[code];

  const against = why ? factAgainst(code, why, other) : null;
  // what speaks against the record needs a reason, and both stand in the record
  const ready =
    (against === null || note.trim() !== "") &&
    ((why === "left_on_purpose" && custodian.trim() !== "" && until.trim() !== "") ||
      why === "never_came" ||
      (why === "swapped" && spare !== null) ||
      (why === "other_vehicle" && other !== null));

  const save = async () => {
    if (!why || !ready) return;
    const body: Body = {
      kind: "excused",
      code,
      why,
      ...(why === "left_on_purpose"
        ? { custodian: custodian.trim(), collect_by: until.trim() }
        : {}),
      ...(why === "swapped" && spare ? { for_code: spare } : {}),
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
        <Keeper custodian={custodian} until={until} onCustodian={setCustodian} onUntil={setUntil} />
      )}
      {why === "swapped" && <Spare code={code} value={spare} onChange={setSpare} />}
      {why === "other_vehicle" && <Others value={other} onChange={setOther} />}
      {against && <Against seen={against} onPick={setNote} />}
      {why && <Field id="note" label={t("excuse.note")} value={note} onInput={setNote} />}
    </Frame>
  );
}

/** Both sides, and why they differ: one of the usual reasons, or words. */
function Against({ seen, onPick }: { seen: Seen; onPick: (text: string) => void }) {
  return (
    <div class="trouble stack" role="alert" id="against">
      <p>{t("facts.against")}</p>
      <p>
        <b>{factWords(seen)}</b>
      </p>
      <p>{t("facts.reason")}</p>
      <Words of={REASONS} onPick={onPick} />
    </div>
  );
}

function Keeper(props: {
  custodian: string;
  until: string;
  onCustodian: (text: string) => void;
  onUntil: (text: string) => void;
}) {
  const { custodian, until, onCustodian, onUntil } = props;
  return (
    <>
      <Field id="custodian" label={t("excuse.custodian")} value={custodian} onInput={onCustodian} />
      <Words of={KEEPERS} onPick={onCustodian} />
      <Field id="until" label={t("excuse.until")} value={until} onInput={onUntil} />
      <Words of={DAYS} onPick={onUntil} />
    </>
  );
}

const KEEPERS = ["excuse.keep_venue", "excuse.keep_client", "excuse.keep_hire"] as const;
const DAYS = ["excuse.day_tomorrow", "excuse.day_week", "excuse.day_next"] as const;
const REASONS = ["facts.why_label", "facts.why_gone", "facts.why_mistake"] as const;

type Word = (typeof KEEPERS | typeof DAYS | typeof REASONS)[number];

/** Usual answers, one tap each; other words are typed. */
function Words({ of, onPick }: { of: readonly Word[]; onPick: (text: string) => void }) {
  return (
    <div class="pair">
      {of.map((word) => (
        <Button key={word} onPress={() => onPick(t(word))}>
          {t(word)}
        </Button>
      ))}
    </div>
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
