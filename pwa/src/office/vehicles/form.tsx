/** One vehicle as a form; a hired one begins from a class and is measured afterwards. */
import { DeleteButton } from "../shared/delete-button";
import { useRef, useState } from "preact/hooks";
import { Mark, MARKS, markWord } from "../../ui/mark";
import { Button } from "../../ui/parts";
import { t } from "../../i18n";
import { GatePart, TrackPart } from "./gear";
import { AxlesPart, NarrowPart, RampPart } from "./parts";
import { Text } from "../shared/text-field";
import { Count, Length, Mass, SureCount, SureLength } from "../shared/number-field";
import type { Vehicle } from "../shared/api-types";
import { call } from "../shared/api";
import { keepChanges, type Opened } from "../shared/changes";
import { Fresh } from "../shared/fresh";
import { Empty, Head, Pick, Small } from "../shared/controls";
import { go, To, unsaved } from "../shared/router";
import { byId, done, loadVehicles, tried, vehicles } from "../shared/state";
import { CLASSES } from "./classes";

const blank = (): Vehicle => ({
  id: "",
  name: "",
  mark: (vehicles.value?.length ?? 0) % MARKS,
  width_um: Number.NaN, // not measured yet
  length_um: Number.NaN,
  height_um: Number.NaN,
  door_height_um: null,
  payload_g: null,
  narrow: [],
  ramp: null,
  axles: null,
  straps: null,
  bars: 0,
  driver_side: "left",
  lift_gate: null,
  track: null,
  aside: false,
});

export function VehicleForm({ id }: { id: string | null }) {
  if (id === null) return <Form seen={null} />;
  if (!byId.value.has(id)) return <Empty>There is no vehicle {id}.</Empty>;
  return (
    <Fresh<Vehicle> key={id} path={`/vehicles/${encodeURIComponent(id)}`}>
      {(seen) => <Form seen={seen} />}
    </Fresh>
  );
}

function Form({ seen }: { seen: Opened<Vehicle> | null }) {
  const [one, setOne] = useState(seen?.document ?? blank());
  const [by, setBy] = useState("");
  const id = seen?.document.id ?? null;
  const set = (change: Partial<Vehicle>) => {
    unsaved.value = true;
    setOne((old) => ({ ...old, ...change }));
  };
  const begin = (key: string) => {
    const kind = CLASSES.find((each) => each.key === key);
    setBy(kind?.word ?? "");
    if (kind) set({ ...kind.room, name: one.name || `${kind.word}, as hired` });
  };
  const form = useRef<HTMLFormElement>(null);
  const keep = async (aside = one.aside) => {
    if (!form.current?.reportValidity()) return;
    const body = { ...one, aside };
    const kept = await tried(() =>
      seen === null
        ? call("POST", "/vehicles", body)
        : keepChanges(`/vehicles/${encodeURIComponent(seen.document.id)}`, seen, body),
    );
    if (!kept) return;
    unsaved.value = false;
    await loadVehicles();
    go("vehicles");
    const what = one.aside === aside ? "kept" : aside ? "archived" : "unarchived";
    done.value = `${one.name || one.id} is ${what}.`;
  };
  return (
    <>
      <VehicleHead id={id} one={one} onArchive={() => void keep(!one.aside)} />
      <form
        ref={form}
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        {id === null && <Classes by={by} onPick={begin} />}
        {by !== "" && (
          <p class="note" id="by-class">
            These figures are our own for “{by}”, common practice without a source. Put in what the
            vehicle's plate says and what a tape measures between the posts, at the wheel boxes and
            at the door.
          </p>
        )}
        <Names one={one} set={set} fresh={id === null} />
        <Room one={one} set={set} />
        <NarrowPart one={one} set={set} />
        <RampPart one={one} set={set} />
        <GatePart one={one} set={set} />
        <TrackPart one={one} set={set} />
        <AxlesPart one={one} set={set} />
        <Button id="keep" tone="main" onPress={() => void keep()}>
          Keep
        </Button>
      </form>
    </>
  );
}

function Classes({ by, onPick }: { by: string; onPick: (key: string) => void }) {
  return (
    <div class="card form">
      <Pick
        id="vehicle-class"
        label="Begin from a class"
        value={CLASSES.find((each) => each.word === by)?.key ?? ""}
        options={[["", "Nothing: I measure it all"], ...CLASSES.map(classWords)]}
        onChange={onPick}
      />
    </div>
  );
}

const classWords = (each: (typeof CLASSES)[number]) => [each.key, each.word] as const;

export interface PartProps {
  one: Vehicle;
  set: (change: Partial<Vehicle>) => void;
}

function Names({ one, set, fresh }: PartProps & { fresh: boolean }) {
  return (
    <fieldset class="card form">
      <legend>What it is called</legend>
      {fresh && (
        <Text
          id="vehicle-id"
          label="Short name"
          most={20}
          needed
          value={one.id}
          onChange={(id) => set({ id: id.trim() })}
          hint="As on the staging lanes, such as T1."
        />
      )}
      <Text id="vehicle-name" label="Name" value={one.name} onChange={(name) => set({ name })} />
      <Pick
        id="vehicle-side"
        label="Driver side, seen from the door"
        value={one.driver_side}
        options={[
          ["left", "on the left wall"],
          ["right", "on the right wall"],
        ]}
        onChange={(side) => set({ driver_side: side === "right" ? "right" : "left" })}
      />
      <div class="field" role="radiogroup" aria-label="Mark">
        <span>Mark</span>
        <div class="marks">
          {Array.from({ length: MARKS }, (_, mark) => (
            <button
              key={mark}
              type="button"
              role="radio"
              class="btn btn-small"
              aria-checked={one.mark === mark}
              aria-label={t(`mark.${markWord(mark)}`)}
              onClick={() => set({ mark })}
            >
              <Mark mark={mark} size={28} />
            </button>
          ))}
        </div>
      </div>
    </fieldset>
  );
}

function Room({ one, set }: PartProps) {
  return (
    <fieldset class="card form">
      <legend>Room, plate and gear on board</legend>
      <SureLength
        id="vehicle-width"
        label="Width between posts"
        value={one.width_um}
        onChange={(width_um) => set({ width_um })}
      />
      <SureLength
        id="vehicle-length"
        label="Length inside"
        value={one.length_um}
        onChange={(length_um) => set({ length_um })}
      />
      <SureLength
        id="vehicle-height"
        label="Height inside"
        value={one.height_um}
        onChange={(height_um) => set({ height_um })}
      />
      <Length
        id="vehicle-door"
        label="Height of the door"
        value={one.door_height_um}
        onChange={(door_height_um) => set({ door_height_um })}
      />
      <Mass
        id="vehicle-payload"
        label="Payload by the plate"
        value={one.payload_g}
        onChange={(payload_g) => set({ payload_g })}
      />
      <Count
        id="vehicle-straps"
        label="Straps on board"
        value={one.straps?.count ?? null}
        onChange={(count) =>
          set({ straps: count === null ? null : { count, wll_g: one.straps?.wll_g ?? null } })
        }
      />
      <Mass
        id="vehicle-wll"
        label="Working load limit of a strap"
        value={one.straps?.wll_g ?? null}
        onChange={(wll_g) => set({ straps: { count: one.straps?.count ?? 0, wll_g } })}
      />
      <SureCount
        id="vehicle-bars"
        label="Load bars on board"
        blank={0}
        value={one.bars}
        onChange={(bars) => set({ bars })}
        hint="Empty: none."
      />
    </fieldset>
  );
}

function VehicleHead(props: { id: string | null; one: Vehicle; onArchive: () => void }) {
  const { id, one, onArchive } = props;
  return (
    <Head
      title={id === null ? "New vehicle" : one.name || one.id}
      sub={one.aside ? "Archived: offered for no show, kept in those that were." : undefined}
    >
      {id !== null && (
        <Small id="put-aside" onPress={onArchive}>
          {one.aside ? "Unarchive" : "Archive"}
        </Small>
      )}
      {id !== null && (
        <DeleteButton
          id="delete-vehicle"
          what={one.name || one.id}
          path={`/vehicles/${encodeURIComponent(id)}`}
          load={loadVehicles}
          back="vehicles"
        />
      )}
      <To to="vehicles" class="btn btn-small">
        Vehicles
      </To>
    </Head>
  );
}
