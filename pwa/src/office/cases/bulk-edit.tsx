/** One change for every picked case. */
import { useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { asBefore, remember } from "./bulk-undo";
import { SureMass } from "../shared/number-field";
import type { FleetCase } from "../shared/api-types";
import { call } from "../shared/api";
import { Pick } from "../shared/controls";
import { done, loadCases, tried } from "../shared/state";

const FIELDS = [
  ["department", "Department"],
  ["home", "Home"],
  ["state", "State"],
  ["owner", "Owner"],
  ["rides", "May ride"],
  ["lid_casters", "Lid takes casters"],
  ["turn", "May be turned"],
  ["casters", "On casters"],
  ["mass_g", "Mass, packed"],
  ["weighed_on", "Weighed on"],
  ["return_on", "Hired in: back by"],
] as const;
const YES_NO = [
  ["yes", "Yes"],
  ["no", "No"],
] as const;
const STATES = [
  ["good", "Good"],
  ["damaged", "Damaged"],
  ["repair", "At repair"],
  ["retired", "Retired"],
] as const;

const FLAGS = new Set(["rides", "lid_casters", "turn", "casters"]);
const DAYS = new Set(["weighed_on", "return_on"]);

export function BulkEdit({ many, onDone }: { many: FleetCase[]; onDone: () => void }) {
  const [field, setField] = useState<(typeof FIELDS)[number][0]>("home");
  const [text, setText] = useState("");
  const [grams, setGrams] = useState(Number.NaN);
  const form = useRef<HTMLFormElement>(null);
  const flag = FLAGS.has(field);
  const options = field === "state" ? STATES : flag ? YES_NO : null;
  const value = options ? (options.some(([key]) => key === text) ? text : options[0][0]) : text;
  const keep = async () => {
    const becomes = field === "mass_g" ? grams : flag ? value === "yes" : value.trim();
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
          setField(next as typeof field);
          setText("");
        }}
      />
      {options ? (
        <Pick id="bulk-value" label="Becomes" value={value} options={options} onChange={setText} />
      ) : field === "mass_g" ? (
        <SureMass id="bulk-value" label="Each becomes" value={grams} onChange={setGrams} />
      ) : (
        <div class="field field-tight">
          <label for="bulk-value">Becomes</label>
          {DAYS.has(field) ? (
            <input
              id="bulk-value"
              type="date"
              value={text}
              onInput={(event) => setText(event.currentTarget.value)}
            />
          ) : (
            <input
              id="bulk-value"
              value={text}
              maxLength={40}
              onInput={(event) => setText(event.currentTarget.value)}
            />
          )}
        </div>
      )}
      <Button id="bulk-keep" tone="ask" onPress={() => void keep()}>
        {`Change ${many.length} ${many.length === 1 ? "case" : "cases"}`}
      </Button>
    </form>
  );
}
