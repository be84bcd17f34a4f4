/** One change for every picked case. */
import { useState } from "preact/hooks";
import { Button } from "../ui/parts";
import type { FleetCase } from "./model";
import { call } from "./net";
import { Pick } from "./parts";
import { done, loadCases, tried } from "./state";

const FIELDS = [
  ["department", "Department"],
  ["home", "Home"],
  ["state", "State"],
  ["owner", "Owner"],
  ["rides", "May ride"],
  ["lid_casters", "Lid takes casters"],
  ["turn", "May be turned"],
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

export function BulkEdit({ many, onDone }: { many: FleetCase[]; onDone: () => void }) {
  const [field, setField] = useState<(typeof FIELDS)[number][0]>("home");
  const [text, setText] = useState("");
  const flag = field === "rides" || field === "lid_casters" || field === "turn";
  const options = field === "state" ? STATES : flag ? YES_NO : null;
  const value = options ? (options.some(([key]) => key === text) ? text : options[0][0]) : text;
  const keep = async () => {
    const change = { [field]: flag ? value === "yes" : value.trim() };
    const codes = many.map((each) => each.code);
    if ((await tried(() => call("POST", "/cases/change", { codes, change }))) === null) return;
    await loadCases();
    done.value = `${codes.length} cases changed.`;
    onDone();
  };
  return (
    <form
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
        onChange={(next) => setField(next as typeof field)}
      />
      {options ? (
        <Pick id="bulk-value" label="Becomes" value={value} options={options} onChange={setText} />
      ) : (
        <div class="field field-tight">
          <label for="bulk-value">Becomes</label>
          <input
            id="bulk-value"
            value={text}
            maxLength={40}
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </div>
      )}
      <Button id="bulk-keep" tone="ask" onPress={() => void keep()}>
        {`Change ${many.length} cases`}
      </Button>
    </form>
  );
}
