/** New cases: which footprint for so many together, and which standard sizes for a shop that starts. */
import { useRef, useState } from "preact/hooks";
import { AskLine, useAdvice } from "./ask";
import { Footprints, type Bought } from "./footprints";
import { FIRST, NeedFields, type Need } from "./need-fields";
import { Pick, Tick } from "../shared/controls";
import { choosable, shows } from "../shared/state";
import { day } from "../shared/units";

const MOST_NEEDS = 6;

const asked = (need: Need) => ({
  name: need.name,
  count: need.count,
  height_um: need.height_um,
  inside_um: [need.long, need.wide, need.high],
  wall_um: need.wall_um ?? 0,
  front_um: need.front_um ?? 0,
  behind_um: need.behind_um ?? 0,
  panel_um: need.panel_um ?? 0,
  under_um: need.under_um ?? 0,
});

export function BuyPart() {
  const asking = useAdvice<Bought>();
  const [needs, setNeeds] = useState<readonly Need[]>([FIRST]);
  const [by, setBy] = useState<readonly string[]>([]);
  const [into, setInto] = useState<readonly string[]>([]);
  const [anew, setAnew] = useState(false);
  const [most, setMost] = useState("1");
  const [fault, setFault] = useState("");
  const form = useRef<HTMLFormElement>(null);
  const ask = () => {
    if (!form.current?.reportValidity()) return;
    if (!anew && by.length === 0) {
      setFault("Tick at least one show that the new cases would go on.");
      return;
    }
    setFault("");
    const question = { needs: needs.map(asked), most_sizes: Number(most), anew };
    void asking.ask({ part: "buy", shows: anew ? [] : by, vehicles: into, ...question });
  };
  const found = asking.now?.answer;
  return (
    <>
      <section class="card stack no-print" aria-label="New cases">
        <h2>What the new cases must hold</h2>
        <form ref={form} class="stack" onSubmit={(event) => event.preventDefault()}>
          <Needs needs={needs} onChange={setNeeds} />
        </form>
        <Pick
          id="most-sizes"
          label="How many different sizes"
          value={most}
          options={[
            ["1", "one size for all"],
            ["2", "up to two sizes"],
            ["3", "up to three sizes"],
          ]}
          onChange={setMost}
        />
        <Judges by={by} setBy={setBy} into={into} setInto={setInto} anew={anew} setAnew={setAnew} />
        {fault && (
          <p class="bad" role="alert">
            {fault}
          </p>
        )}
        <AskLine id="ask-buy" word="Find the best footprint" asking={asking} onAsk={ask} />
      </section>
      {found && <Footprints found={found} needs={needs} />}
    </>
  );
}

/** What each kind of new case must hold, and a button for another kind. */
function Needs(props: { needs: readonly Need[]; onChange: (needs: readonly Need[]) => void }) {
  const { needs, onChange } = props;
  const change = (at: number, part: Partial<Need>) =>
    onChange(needs.map((each, index) => (index === at ? { ...each, ...part } : each)));
  return (
    <>
      {needs.map((need, at) => (
        <NeedFields
          key={at}
          at={at}
          need={need}
          onChange={(part) => change(at, part)}
          onRemove={
            needs.length > 1 ? () => onChange(needs.filter((_, other) => other !== at)) : null
          }
        />
      ))}
      {needs.length < MOST_NEEDS && (
        <div>
          <button type="button" class="btn" onClick={() => onChange([...needs, FIRST])}>
            Another kind of new case
          </button>
        </div>
      )}
    </>
  );
}

const toggle = (list: readonly string[], one: string, on: boolean): string[] =>
  on ? [...list, one] : list.filter((each) => each !== one);

function Judges(props: {
  by: readonly string[];
  setBy: (shows: readonly string[]) => void;
  into: readonly string[];
  setInto: (vehicles: readonly string[]) => void;
  anew: boolean;
  setAnew: (anew: boolean) => void;
}) {
  const { by, setBy, into, setInto, anew, setAnew } = props;
  return (
    <>
      <Tick id="buy-anew" checked={anew} onChange={setAnew}>
        Judge by the new cases alone, in empty vehicles
      </Tick>
      {!anew && (
        <fieldset class="ticks">
          <legend class="tall">Shows that they go on</legend>
          {(shows.value ?? []).slice(0, 20).map((each) => (
            <Tick
              key={each.id}
              id={`by-${each.id}`}
              checked={by.includes(each.id)}
              onChange={(on) => setBy(toggle(by, each.id, on))}
            >
              {each.name}, {day(each.date)}
            </Tick>
          ))}
        </fieldset>
      )}
      <fieldset class="ticks">
        <legend class="tall">Vehicles; none ticked: each show's own</legend>
        {choosable().map((each) => (
          <Tick
            key={each.id}
            id={`into-${each.id}`}
            checked={into.includes(each.id)}
            onChange={(on) => setInto(toggle(into, each.id, on))}
          >
            {each.name || each.id}
          </Tick>
        ))}
      </fieldset>
    </>
  );
}
