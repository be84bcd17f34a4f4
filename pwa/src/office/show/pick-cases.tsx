/** Cases picked by department; each with the drop in which it is needed. */
import { useMemo, useState } from "preact/hooks";
import { matches } from "../cases/sort";
import { PickMany } from "./pick-many";
import { DROPS, OfAll, picked } from "./drop-choice";
import { dropWords } from "./drop-names";
import { taken } from "./kits-api";
import type { Called, FleetCase } from "../shared/api-types";
import { Tick } from "../shared/controls";
import { cases } from "../shared/state";
import { sumsOf } from "../shared/totals";
import { bareLength, bareMass, lengthUnit, mass, massUnit } from "../shared/units";

interface PickProps {
  called: readonly Called[];
  booked: readonly string[];
  onChange: (called: readonly Called[]) => void;
}

export function PickCases({ called, booked, onChange }: PickProps) {
  const [words, setWords] = useState("");
  const by = useMemo(() => new Map(called.map((each) => [each.code, each])), [called]);
  const groups = useMemo(() => {
    const found = new Map<string, FleetCase[]>();
    for (const each of cases.value ?? []) {
      if (!by.has(each.code) && (each.state === "repair" || each.state === "retired")) continue;
      if (words !== "" && !matches(each, words)) continue;
      const group = found.get(each.department);
      if (group) group.push(each);
      else found.set(each.department, [each]);
    }
    return [...found].sort(([one], [other]) => one.localeCompare(other));
  }, [cases.value, words, by]);
  const set = (codes: readonly string[], on: boolean, drop = 1) => {
    const next = new Map(by);
    for (const code of codes)
      if (!on) next.delete(code);
      else if (!next.has(code)) next.set(code, picked(code, drop));
    onChange([...next.values()]);
  };
  const change = (code: string, part: Partial<Called>) =>
    onChange(called.map((each) => (each.code === code ? { ...each, ...part } : each)));
  const changeAll = (codes: ReadonlySet<string>, part: Partial<Called>) =>
    onChange(called.map((each) => (codes.has(each.code) ? { ...each, ...part } : each)));
  return (
    <fieldset class="card stack">
      <legend>Cases</legend>
      <div class="field field-tight">
        <label for="case-search">Search</label>
        <input
          id="case-search"
          type="search"
          value={words}
          onInput={(event) => setWords(event.currentTarget.value)}
        />
      </div>
      <PickMany
        codes={groups.flatMap(([, many]) => many.map((each) => each.code))}
        onPick={(codes) => set(codes, true)}
        onNone={() => onChange([])}
      />
      {groups.map(([department, many]) => (
        <Group
          key={department}
          {...{ department, many, by, booked, set, change, changeAll }}
          open={words !== "" || groups.length < 3}
        />
      ))}
    </fieldset>
  );
}

interface GroupProps {
  department: string;
  many: readonly FleetCase[];
  by: ReadonlyMap<string, Called>;
  booked: readonly string[];
  open: boolean;
  set: (codes: readonly string[], on: boolean) => void;
  change: (code: string, part: Partial<Called>) => void;
  changeAll: (codes: ReadonlySet<string>, part: Partial<Called>) => void;
}

function Group(props: GroupProps) {
  const { department, many, by, booked, open, set, change, changeAll } = props;
  const there = many.filter((each) => by.has(each.code));
  const on = there.length;
  const [shown, setShown] = useState(open);
  const word = department || "no department";
  return (
    <section class="pick-group" aria-label={word}>
      <div class="line pick-head">
        <Tick
          checked={on === many.length}
          some={on > 0 && on < many.length}
          onChange={(all) =>
            set(
              many.map((each) => each.code),
              all,
            )
          }
        >
          <b class="tall">{word}</b>
        </Tick>
        <span class="soft grow">
          {on} of {many.length}
          {on > 0 && `, ${mass(sumsOf(there).mass_g)}`}
        </span>
        {on > 0 && (
          <OfAll
            word={word}
            picked={there.flatMap((each) => by.get(each.code) ?? [])}
            onChange={(part) => changeAll(new Set(there.map((each) => each.code)), part)}
          />
        )}
        <button
          type="button"
          class="btn btn-small"
          aria-expanded={shown || open}
          onClick={() => setShown(!shown)}
        >
          {shown || open ? "Fold up" : "Each"}
        </button>
      </div>
      {(shown || open) && <PickList {...{ many, by, booked, set, change }} />}
    </section>
  );
}

type PickListProps = Pick<GroupProps, "many" | "by" | "booked" | "set" | "change">;

function PickList({ many, by, booked, set, change }: PickListProps) {
  return (
    <ul class="pick-list">
      {many.map((each) => {
        const one = by.get(each.code);
        return (
          <li key={each.code} class={one ? "pick-line pick-on" : "pick-line"}>
            <Tick checked={one !== undefined} onChange={(yes) => set([each.code], yes)}>
              <span class="code">{each.code}</span> {each.name}
              {taken.value.cases[each.code] && (
                <em class="bad under">taken: {taken.value.cases[each.code]?.join(", ")}</em>
              )}
            </Tick>
            <span class="soft tab-num">
              {[each.length_um, each.width_um, each.height_um].map(bareLength).join(" × ")}{" "}
              {lengthUnit()}, {each.mass_g ? `${bareMass(each.mass_g)} ${massUnit()}` : "no mass"}
            </span>
            {one && <Wishes one={one} booked={booked} change={change} />}
          </li>
        );
      })}
    </ul>
  );
}

interface WishProps {
  one: Called;
  booked: readonly string[];
  change: (code: string, part: Partial<Called>) => void;
}

function Wishes({ one, booked, change }: WishProps) {
  return (
    <span class="wishes">
      <select
        aria-label={`Drop of ${one.code}`}
        value={String(one.drop)}
        onChange={(event) => change(one.code, { drop: Number(event.currentTarget.value) })}
      >
        {DROPS.map((drop) => (
          <option key={drop} value={String(drop)}>
            {dropWords(drop)}
          </option>
        ))}
      </select>
      <select
        aria-label={`Vehicle of ${one.code}`}
        value={one.vehicle ?? ""}
        onChange={(event) => change(one.code, { vehicle: event.currentTarget.value || null })}
      >
        <option value="">any vehicle</option>
        {booked.map((id) => (
          <option key={id} value={id}>
            {`in ${id}`}
          </option>
        ))}
      </select>
      <select
        aria-label={`End of ${one.code}`}
        value={one.near ?? ""}
        onChange={(event) =>
          change(one.code, { near: (event.currentTarget.value || null) as Called["near"] })
        }
      >
        <option value="">any row</option>
        <option value="bulkhead">at the bulkhead</option>
        <option value="door">at the door</option>
      </select>
      <select
        aria-label={`Priority of ${one.code}`}
        value={one.priority}
        onChange={(event) =>
          change(one.code, { priority: event.currentTarget.value as Called["priority"] })
        }
      >
        <option value="must">must go</option>
        <option value="nice">nice to have</option>
      </select>
    </span>
  );
}
