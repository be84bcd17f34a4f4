/** One change of the fleet: which cases, and what becomes of them. */
import { useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { Pick, Tick } from "../shared/controls";
import { Amount, Count, Length, Mass } from "../shared/number-field";
import { cases } from "../shared/state";
import { Text } from "../shared/text-field";

export interface Change {
  name: string;
  do: "replace" | "sell" | "buy";
  codes: string[];
  count: number;
  length_um: number | null;
  width_um: number | null;
  height_um: number | null;
  lid_casters: boolean | null;
  lid_load_g: number | null;
  cost_cents: number | null;
}

const FRESH: Change = {
  name: "",
  do: "replace",
  codes: [],
  count: 1,
  length_um: null,
  width_um: null,
  height_um: null,
  lid_casters: null,
  lid_load_g: null,
  cost_cents: null,
};
const DO: readonly (readonly [Change["do"], string])[] = [
  ["replace", "Replace or rebuild"],
  ["sell", "Sell"],
  ["buy", "Buy more like it"],
];

export function ChangeForm({ onAdd, full }: { onAdd: (change: Change) => void; full: boolean }) {
  const [change, setChange] = useState(FRESH);
  const [words, setWords] = useState("");
  const [fault, setFault] = useState("");
  const set = (part: Partial<Change>) => setChange({ ...change, ...part });
  const found = (cases.value ?? []).filter((each) =>
    `${each.code} ${each.name} ${each.department}`.toLowerCase().includes(words.toLowerCase()),
  );
  const codes = words.trim() === "" ? [] : found.slice(0, 500).map((each) => each.code);
  const numbers = [change.length_um, change.width_um, change.height_um, change.lid_load_g];
  const add = () => {
    if (codes.length === 0) return setFault("Search for the cases that this is about.");
    if (numbers.some((each) => Number.isNaN(each))) return setFault("Correct the numbers first.");
    const verb = DO.find(([key]) => key === change.do)?.[1] ?? "";
    onAdd({ ...change, codes, name: change.name || `${verb}: ${words}`.slice(0, 60) });
    setChange(FRESH);
    setWords("");
    return setFault("");
  };
  return (
    <section class="card stack no-print" aria-label="A change of the fleet">
      <h2>What if you changed the fleet?</h2>
      <div class="form">
        <WhatAndWhich change={change} set={set} words={words} setWords={setWords} codes={codes} />
        <Amount
          id="change-cost"
          label="Cost of the change, once"
          value={change.cost_cents}
          onChange={(cost_cents) => set({ cost_cents })}
        />
      </div>
      {fault && (
        <p class="bad" role="alert">
          {fault}
        </p>
      )}
      <div>
        <Button id="add-change" onPress={add} busy={full}>
          Add this change
        </Button>
      </div>
    </section>
  );
}

interface WhatProps {
  change: Change;
  set: (part: Partial<Change>) => void;
  words: string;
  setWords: (words: string) => void;
  codes: readonly string[];
}

/** What to do, with which cases, and their new sides. */
function WhatAndWhich({ change, set, words, setWords, codes }: WhatProps) {
  return (
    <>
      <Pick
        id="change-do"
        label="What to do"
        value={change.do}
        options={DO}
        onChange={(value) => set({ do: value as Change["do"] })}
      />
      <Text
        id="change-cases"
        label="Cases: code, name or department"
        value={words}
        onChange={setWords}
        hint={
          words.trim() === ""
            ? "All cases that match are meant."
            : `${codes.length} cases: ${codes.slice(0, 4).join(", ")}${codes.length > 4 ? ", ..." : ""}`
        }
      />
      <Text
        id="change-name"
        label="Name it"
        value={change.name}
        onChange={(name) => set({ name })}
      />
      {change.do === "buy" && (
        <Count
          id="change-count"
          label="How many"
          value={change.count}
          onChange={(value) => set({ count: value ?? 1 })}
        />
      )}
      {change.do !== "sell" && <NewSides change={change} set={set} />}
    </>
  );
}

function NewSides({ change, set }: { change: Change; set: (part: Partial<Change>) => void }) {
  return (
    <>
      <Length
        id="change-length"
        label="New length"
        value={change.length_um}
        onChange={(length_um) => set({ length_um })}
      />
      <Length
        id="change-width"
        label="New width"
        value={change.width_um}
        onChange={(width_um) => set({ width_um })}
      />
      <Length
        id="change-height"
        label="New height"
        value={change.height_um}
        onChange={(height_um) => set({ height_um })}
      />
      <Mass
        id="change-lid"
        label="New lid carries"
        value={change.lid_load_g}
        onChange={(lid_load_g) => set({ lid_load_g })}
      />
      <Tick
        id="change-casters"
        checked={change.lid_casters === true}
        onChange={(on) => set({ lid_casters: on ? true : null })}
      >
        Lid takes casters of the same footprint
      </Tick>
    </>
  );
}
