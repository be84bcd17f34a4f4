/** What lids carry and which cases ride on others, for every kind of a list at once. */
import { useState } from "preact/hooks";
import { Tick } from "../shared/controls";
import { Mass } from "../shared/number-field";
import { bareLength, lengthUnit } from "../shared/units";
import type { KindStacking, ListLine } from "./list-lines";

interface KindsProps {
  lines: readonly ListLine[];
  kinds: ReadonlyMap<string, KindStacking>;
  onChange: (kinds: Map<string, KindStacking>) => void;
}

interface Kind {
  name: string;
  count: number;
  line: ListLine;
}

function kindsOf(lines: readonly ListLine[]): Kind[] {
  const found = new Map<string, Kind>();
  for (const line of lines) {
    const key = line.name.toLowerCase();
    const kind = found.get(key);
    if (kind) kind.count += 1;
    else found.set(key, { name: line.name, count: 1, line });
  }
  return [...found.values()].sort((a, b) => b.count - a.count).slice(0, 60);
}

/** The same lid load for every kind. */
function everyKind(
  all: readonly Kind[],
  kinds: KindsProps["kinds"],
  lid_load_g: number | null,
): Map<string, KindStacking> {
  return new Map(
    all.map(({ name }) => {
      const key = name.toLowerCase();
      return [key, { rides: kinds.get(key)?.rides ?? false, lid_load_g }] as const;
    }),
  );
}

interface KindRowProps {
  kind: Kind;
  place: number;
  stacking: KindStacking | undefined;
  onChange: (change: Partial<KindStacking>) => void;
}

function KindRow({ kind: { name, count, line }, place, stacking, onChange }: KindRowProps) {
  return (
    <tr>
      <th scope="row">{`${count} × ${name || "without a name"}`}</th>
      <td class="tab-num">
        {[line.length_um, line.width_um, line.height_um]
          .map((um) => (um === null ? "?" : bareLength(um)))
          .join(" × ")}
      </td>
      <td>
        <Mass
          id={`lid-${place}`}
          label="Up to"
          value={stacking?.lid_load_g ?? null}
          onChange={(lid_load_g) => onChange({ lid_load_g })}
        />
      </td>
      <td>
        <Tick
          id={`rides-${place}`}
          checked={stacking?.rides ?? false}
          onChange={(rides) => onChange({ rides })}
        >
          Rides
        </Tick>
      </td>
    </tr>
  );
}

function EveryLid({ onChange }: { onChange: (lid_load_g: number | null) => void }) {
  const [lid, setLid] = useState<number | null>(null);
  return (
    <Mass
      id="lid-all"
      label="Every lid carries up to"
      value={lid}
      hint="For all kinds at once; then change those that differ."
      onChange={(next) => {
        setLid(next);
        if (!Number.isNaN(next ?? 0)) onChange(next);
      }}
    />
  );
}

export function ListKinds({ lines, kinds, onChange }: KindsProps) {
  const all = kindsOf(lines);
  const stacks = [...kinds.values()].some((one) => one.lid_load_g !== null);
  const put = (name: string, change: Partial<KindStacking>) => {
    const before = kinds.get(name.toLowerCase()) ?? { lid_load_g: null, rides: false };
    onChange(new Map([...kinds, [name.toLowerCase(), { ...before, ...change }]]));
  };
  return (
    <section class="card stack" id="kinds">
      <h2>Stacking, kind by kind</h2>
      <p class={stacks ? "soft" : "ask-line"}>
        {stacks
          ? "An empty field: nothing may stand on the lid."
          : "No lid carries anything yet, so nothing will be stacked. Say what each kind carries, or do it later in the fleet."}
      </p>
      <div class="sieve">
        <EveryLid onChange={(lid) => onChange(everyKind(all, kinds, lid))} />
      </div>
      <div class="wide-table">
        <table class="plain">
          <thead>
            <tr>
              <th scope="col">Kind</th>
              <th scope="col">{`Sides, ${lengthUnit()}`}</th>
              <th scope="col">Lid carries</th>
              <th scope="col">Rides on lids</th>
            </tr>
          </thead>
          <tbody>
            {all.map((kind, place) => (
              <KindRow
                key={kind.name}
                {...{ kind, place }}
                stacking={kinds.get(kind.name.toLowerCase())}
                onChange={(change) => put(kind.name, change)}
              />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
