/** One case: sides, mass, how it may stand, what its lid carries, whose it is. */
import { useMemo, useRef, useState } from "preact/hooks";
import type { Stance } from "../../core/bundle";
import { Button } from "../../ui/parts";
import { CasePhotos } from "./photos";
import { CaseStory } from "./history";
import { Text } from "../shared/text-field";
import { Mass, SureLength, SureMass } from "../shared/number-field";
import { NotesPart } from "./notes";
import type { CaseState, FleetCase } from "../shared/api-types";
import { call } from "../shared/api";
import { offers } from "./next-code";
import { Empty, Head, Pick, Small, Tick } from "../shared/controls";
import { go, To, unsaved } from "../shared/router";
import { byCode, cases, departments, done, loadCases, shop, tried } from "../shared/state";

const NEW: FleetCase = {
  code: "",
  name: "",
  department: "",
  home: "",
  length_um: Number.NaN, // not measured yet
  width_um: Number.NaN,
  height_um: Number.NaN,
  mass_g: 0,
  turn: true,
  stances: ["upright"],
  lid_load_g: null,
  rides: false,
  lid_casters: false,
  casters: true,
  never_under: [],
  owner: "",
  state: "good",
  notes: { weighed_on: "", return_on: "", contents: [], note: "" },
};
const STANCES: readonly (readonly [Stance, string])[] = [
  ["upright", "Upright"],
  ["on_end", "On end"],
  ["on_side", "On side"],
];
const STATES = [
  ["good", "Good"],
  ["damaged", "Damaged"],
  ["repair", "At repair"],
  ["retired", "Retired"],
] as const;

export function CaseForm({ code }: { code: string | null }) {
  const found = code === null ? NEW : byCode.value.get(code);
  const [one, setOne] = useState(found ?? NEW);
  if (!found) return <Empty>There is no case {code}.</Empty>;
  const set = (change: Partial<FleetCase>) => {
    unsaved.value = true;
    setOne((old) => ({ ...old, ...change }));
  };
  const form = useRef<HTMLFormElement>(null);
  const keep = async () => {
    if (!form.current?.reportValidity()) return;
    const method = code === null ? "POST" : "PUT";
    const address = code === null ? "/cases" : `/cases/${encodeURIComponent(code)}`;
    const kept = await tried(() => call<FleetCase>(method, address, one));
    if (!kept) return;
    unsaved.value = false;
    await loadCases();
    go(`fleet/${encodeURIComponent(one.code)}`);
    done.value = `${one.code} is kept.`;
  };
  return (
    <>
      <Head title={code ?? "New case"} sub={code === null ? "A code is for life." : found.name}>
        <To to="fleet" class="btn btn-small">
          Fleet
        </To>
      </Head>
      <form
        ref={form}
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <Who one={one} set={set} fresh={code === null} />
        <Box one={one} set={set} />
        <Standing one={one} set={set} />
        <NotesPart one={one} set={set} />
        <div class="acts-line">
          <Button id="keep" tone="main" onPress={() => void keep()}>
            Keep
          </Button>
        </div>
      </form>
      {code !== null && <CasePhotos code={code} />}
      {code !== null && <CaseStory code={code} />}
    </>
  );
}

export interface PartProps {
  one: FleetCase;
  set: (change: Partial<FleetCase>) => void;
}

function Who({ one, set, fresh }: PartProps & { fresh: boolean }) {
  return (
    <fieldset class="card form">
      <legend>What it is</legend>
      {fresh && (
        <Text
          id="case-code"
          label="Code"
          most={60}
          needed
          value={one.code}
          onChange={(code) => set({ code: code.trim().toUpperCase() })}
          hint="Department, number and check character, such as PW-031-7."
        />
      )}
      {fresh && shop.value.numbering === "" && <Offers one={one} set={set} />}
      <Text id="case-name" label="Name" value={one.name} onChange={(name) => set({ name })} />
      <Text
        id="case-department"
        label="Department"
        most={40}
        list={departments.value}
        value={one.department}
        onChange={(department) => set({ department })}
      />
      <Text
        id="case-home"
        label="Home"
        most={40}
        value={one.home}
        onChange={(home) => set({ home })}
        hint="Its place in the shop."
      />
      <Text
        id="case-owner"
        label="Owner"
        value={one.owner}
        onChange={(owner) => set({ owner })}
        hint="Empty: your own. Else whose it is."
      />
      <Pick
        id="case-state"
        label="State"
        value={one.state}
        options={STATES}
        onChange={(state) => set({ state: state as CaseState })}
      />
    </fieldset>
  );
}

/** Nobody works out a check character: free codes are offered, and the department that goes with them. */
function Offers({ one, set }: PartProps) {
  const all = cases.value ?? [];
  const found = useMemo(
    () =>
      offers(
        one.code,
        all.map((each) => each.code),
      ),
    [all, one.code],
  );
  if (found.length === 0) return null;
  const take = (code: string) => {
    const like = all.find((each) => each.code.startsWith(code.slice(0, code.indexOf("-") + 1)));
    set({ code, department: one.department || (like?.department ?? "") });
  };
  return (
    <div class="field field-tight wide" role="group" aria-label="Free codes">
      <span>Free codes</span>
      <div class="acts-line">
        {found.map((code) => (
          <Small key={code} label={`Take the code ${code}`} onPress={() => take(code)}>
            {code}
          </Small>
        ))}
      </div>
    </div>
  );
}

function Box({ one, set }: PartProps) {
  return (
    <fieldset class="card form">
      <legend>Sides and mass</legend>
      <SureLength
        id="case-length"
        label="Length"
        value={one.length_um}
        onChange={(length_um) => set({ length_um })}
      />
      <SureLength
        id="case-width"
        label="Width"
        value={one.width_um}
        onChange={(width_um) => set({ width_um })}
      />
      <SureLength
        id="case-height"
        label="Height with casters"
        value={one.height_um}
        onChange={(height_um) => set({ height_um })}
      />
      <SureMass
        id="case-mass"
        blank={0}
        label="Mass, packed"
        value={one.mass_g}
        onChange={(mass_g) => set({ mass_g })}
        hint="From a scale. Without it straps, axles and hands are not known."
      />
    </fieldset>
  );
}

function Standing({ one, set }: PartProps) {
  const stances = (stance: Stance, on: boolean) => {
    const next = STANCES.map(([key]) => key).filter((key) =>
      key === stance ? on : one.stances.includes(key),
    );
    if (next.length > 0) set({ stances: next });
  };
  return (
    <fieldset class="card form">
      <legend>How it stands</legend>
      <div class="ticks">
        {STANCES.map(([stance, word]) => (
          <Tick
            key={stance}
            checked={one.stances.includes(stance)}
            onChange={(on) => stances(stance, on)}
          >
            {word}
          </Tick>
        ))}
        <Tick checked={one.turn} onChange={(turn) => set({ turn })}>
          May be turned by 90 degrees
        </Tick>
        <Tick checked={one.casters} onChange={(casters) => set({ casters })}>
          On casters
        </Tick>
        <Tick checked={one.rides} onChange={(rides) => set({ rides })}>
          May ride on lids
        </Tick>
        <Tick checked={one.lid_casters} onChange={(lid_casters) => set({ lid_casters })}>
          Lid takes casters of the same footprint
        </Tick>
      </div>
      <Mass
        id="case-lid"
        label="Lid carries"
        value={one.lid_load_g}
        onChange={(lid_load_g) => set({ lid_load_g })}
        hint="Empty: nothing may stand on it."
      />
    </fieldset>
  );
}
