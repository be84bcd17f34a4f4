/** What goes to a show: date, vehicles, and a pick of cases with the drop of each. */
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { PickCases } from "./pick-cases";
import { DropsPart } from "./drops";
import { KitPart } from "./kits";
import { loadKits, loadTaken, taken } from "./kits-api";
import type { Called, Show, Venue } from "../shared/api-types";
import { dropNames, type DropNames } from "./drop-names";
import { Night, VenuePart, type When } from "./when-where";
import { call } from "../shared/api";
import { keepChanges, type Opened } from "../shared/changes";
import { Tick } from "../shared/controls";
import { RulesPart } from "./rules";
import { go, unsaved } from "../shared/router";
import { byCode, choosable, done, loadShows, tried, vehicles } from "../shared/state";
import { sumsOf } from "../shared/totals";
import { area, length, mass } from "../shared/units";
import { VehicleFacts } from "../vehicles/list";

/** Days and venue as they are typed; names of drops and what other shows have follow them. */
function useWhenWhere(show: Show | null) {
  const [when, setWhen] = useState<When>({
    date: show?.date ?? "",
    load_day: show?.load_day ?? "",
    return_day: show?.return_day ?? "",
  });
  const [venue, setVenue] = useState<Venue | null>(show?.venue ?? null);
  const [first, last] = [when.load_day || when.date, when.return_day || when.date];
  useEffect(() => void loadTaken(first, last, show?.id ?? "new"), [first, last, show?.id]);
  useEffect(() => void (dropNames.value = show?.drops ?? {}), [show]);
  return { when, setWhen, venue, setVenue };
}

interface ShowFormProps {
  /** The show as it was read; null: a new one. */
  seen: Opened<Show> | null;
  onKept: () => unknown;
}

export function ShowForm({ seen, onKept }: ShowFormProps) {
  const show = seen?.document ?? null;
  const [name, setName] = useState(show?.name ?? "");
  const { when, setWhen, venue, setVenue } = useWhenWhere(show);
  const [booked, setBooked] = useState<readonly string[]>(show?.vehicles ?? []);
  const [called, setCalled] = useState<readonly Called[]>(show?.cases ?? []);
  const [rules, setRules] = useState<Readonly<Record<string, unknown>>>(show?.rules ?? {});
  const touch = <T,>(set: (value: T) => void) => {
    return (value: T) => {
      unsaved.value = true;
      set(value);
    };
  };
  useEffect(() => void loadKits(), []);
  const form = useRef<HTMLFormElement>(null);
  const keep = async () => {
    if (!form.current?.reportValidity()) return;
    const body = {
      name,
      ...when,
      venue,
      drops: dropNames.value,
      vehicles: booked,
      cases: called.map((each) =>
        each.vehicle !== null && !booked.includes(each.vehicle) ? { ...each, vehicle: null } : each,
      ),
      rules,
      ...(show ? { units: show.units } : {}),
    };
    const kept = await tried(() =>
      seen
        ? keepChanges<Show>(`/shows/${seen.document.id}`, seen, body)
        : call<Show>("POST", "/shows", body),
    );
    if (!kept) return;
    unsaved.value = false;
    await onKept();
    await loadShows();
    go(`shows/${kept.id}/plan`);
    done.value = `${kept.name} is kept with ${kept.cases.length} cases.`;
  };
  return (
    <form
      ref={form}
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <Night name={name} onName={touch(setName)} when={when} onWhen={touch(setWhen)} />
      <VenuePart venue={venue} onChange={touch(setVenue)} />
      <Booked booked={booked} onChange={touch(setBooked)} />
      <KitPart called={called} onChange={touch(setCalled)} />
      <PickCases called={called} booked={booked} onChange={touch(setCalled)} />
      <DropsPart
        called={called}
        onChange={touch(setCalled)}
        onNames={touch((names: DropNames) => (dropNames.value = names))}
      />
      <RulesPart rules={rules} onChange={touch(setRules)} />
      <div class="last-acts">
        <Sums called={called} booked={booked} />
        <Button id="keep-show" tone="main" onPress={() => void keep()}>
          {show ? "Keep and go to the plan" : "Make the show"}
        </Button>
      </div>
    </form>
  );
}

function Booked(props: { booked: readonly string[]; onChange: (ids: readonly string[]) => void }) {
  const { booked, onChange } = props;
  const [before] = useState(booked); // what a past show had stays to be ticked again
  return (
    <fieldset class="card stack">
      <legend>Vehicles</legend>
      <ul class="tiles">
        {choosable([...before, ...booked]).map((each) => (
          <li key={each.id} class="line vehicle-pick">
            <Tick
              id={`book-${each.id}`}
              checked={booked.includes(each.id)}
              onChange={(on) =>
                onChange(on ? [...booked, each.id] : booked.filter((id) => id !== each.id))
              }
            >
              <span class="line">
                <VehicleFacts each={each}>
                  <Elsewhere shows={taken.value.vehicles[each.id]} />
                </VehicleFacts>
              </span>
            </Tick>
          </li>
        ))}
      </ul>
    </fieldset>
  );
}

/** The other shows of that day that have it too. */
function Elsewhere({ shows }: { shows: readonly string[] | undefined }) {
  if (!shows) return null;
  return <em class="bad">taken: {shows.join(", ")}</em>;
}

/** What was picked against what the vehicles take: mass is known at once, floor only by planning. */
function Sums({ called, booked }: { called: readonly Called[]; booked: readonly string[] }) {
  const sums = useMemo(() => {
    const many = called.flatMap((each) => byCode.value.get(each.code) ?? []);
    const garage = (vehicles.value ?? []).filter((each) => booked.includes(each.id));
    return {
      mass: many.reduce((sum, each) => sum + each.mass_g, 0),
      unweighed: many.filter((each) => each.mass_g === 0).length,
      payload: garage.every((each) => each.payload_g !== null)
        ? garage.reduce((sum, each) => sum + (each.payload_g ?? 0), 0)
        : null,
      floor: garage.reduce((sum, each) => sum + each.length_um, 0),
      covered: sumsOf(many).floor_mm2,
      room: garage.reduce((sum, each) => sum + (each.length_um / 1e3) * (each.width_um / 1e3), 0),
    };
  }, [called, booked, byCode.value, vehicles.value]);
  const twice = called.filter((each) => taken.value.cases[each.code]).length;
  const over = sums.payload !== null && booked.length > 0 && sums.mass > sums.payload;
  return (
    <p class={over ? "sums sums-over" : "sums"} role="status">
      <b>{called.length} cases</b>, {mass(sums.mass)}
      {sums.payload !== null && booked.length > 0 && ` of ${mass(sums.payload)} payload`}
      {`, ${area(sums.covered)} of floor if nothing is stacked`}
      {booked.length > 0 && ` (there are ${area(sums.room)}, ${length(sums.floor)} long)`}
      {sums.unweighed > 0 && `. ${sums.unweighed} not weighed: figures will be too low.`}
      {twice > 0 && `. ${twice} are called for another show on one of those days.`}
      {over && ". This is more than the plates allow."}
    </p>
  );
}
