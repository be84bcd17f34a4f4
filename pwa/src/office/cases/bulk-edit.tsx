/** One change for every picked case. */
import { useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { asBefore } from "./as-before";
import { remember } from "./bulk-undo";
import { options } from "./fields";
import { CASE_COLUMNS } from "../shared/case-columns";
import { SureMass } from "../shared/number-field";
import type { FleetCase } from "../shared/api-types";
import { call } from "../shared/api";
import { Pick } from "../shared/controls";
import { done, loadCases, tried } from "../shared/state";

const COLUMNS = CASE_COLUMNS.filter((column) => column.many);
const FIELDS = COLUMNS.map((column) => [column.field, column.label] as const);
const YES_NO = [
  ["yes", "Yes"],
  ["no", "No"],
] as const;

type Choices = readonly (readonly [string, string])[];
const choicesOf = (field: string): Choices =>
  COLUMNS.filter((column) => column.field === field).flatMap(options);
const first = (choices: Choices): string => choices[0]?.[0] ?? "";

export function BulkEdit({ many, onDone }: { many: FleetCase[]; onDone: () => void }) {
  const [field, setField] = useState("home");
  const [text, setText] = useState("");
  const [grams, setGrams] = useState(Number.NaN);
  const form = useRef<HTMLFormElement>(null);
  const kind = COLUMNS.find((column) => column.field === field)?.kind ?? "text";
  const flag = kind === "flag";
  const choices = flag ? YES_NO : choicesOf(field);
  const value =
    choices.length === 0 || choices.some(([key]) => key === text) ? text : first(choices);
  const keep = async () => {
    const becomes = kind === "mass" ? grams : flag ? value === "yes" : value.trim();
    if (!form.current?.reportValidity()) return;
    const codes = many.map((each) => each.code);
    const change = { [field]: becomes };
    const before = asBefore(many, field);
    if ((await tried(() => call("POST", "/cases/change", { codes, change }))) === null) return;
    await loadCases();
    done.value = `${codes.length} cases changed.`;
    const word = FIELDS.find(([key]) => key === field)?.[1] ?? field;
    remember(`${word}: ${codes.length} cases were changed together.`, before);
    onDone();
  };
  return (
    <form
      ref={form}
      class="sieve"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <Pick
        id="bulk-field"
        label="What"
        value={field}
        options={FIELDS}
        onChange={(next) => {
          setField(next);
          setText("");
        }}
      />
      <Becomes
        kind={kind}
        choices={choices}
        text={value}
        grams={grams}
        onText={setText}
        onGrams={setGrams}
      />
      <Button id="bulk-keep" tone="ask" onPress={() => void keep()}>
        {`Change ${many.length} ${many.length === 1 ? "case" : "cases"}`}
      </Button>
    </form>
  );
}

interface BecomesProps {
  kind: string;
  choices: Choices;
  text: string;
  grams: number;
  onText: (text: string) => void;
  onGrams: (grams: number) => void;
}

/** The new value, entered as its kind asks. */
function Becomes({ kind, choices, text, grams, onText, onGrams }: BecomesProps) {
  const id = "bulk-value";
  if (choices.length > 0)
    return <Pick id={id} label="Becomes" value={text} options={choices} onChange={onText} />;
  if (kind === "mass")
    return <SureMass id={id} label="Each becomes" value={grams} onChange={onGrams} />;
  const shared = {
    id,
    value: text,
    onInput: (event: { currentTarget: HTMLInputElement }) => onText(event.currentTarget.value),
  };
  return (
    <div class="field field-tight">
      <label for={id}>Becomes</label>
      {kind === "day" ? <input type="date" {...shared} /> : <input maxLength={40} {...shared} />}
    </div>
  );
}
