/** Vehicles: what is measured inside, the plate, ramp, axles and gear on board. */
import type { ComponentChildren } from "preact";
import { Mark } from "../../ui/mark";
import { Button } from "../../ui/parts";
import type { Vehicle } from "../shared/api-types";
import { save } from "../shared/api";
import { Empty, Head } from "../shared/controls";
import { go, To } from "../shared/router";
import { tried, vehicles } from "../shared/state";
import { length, mass } from "../shared/units";
import { VehicleForm } from "./form";

export function Vehicles({ open }: { open: string }) {
  const all = vehicles.value;
  if (all === null) return <p class="soft">One moment.</p>;
  if (open === "new") return <VehicleForm id={null} />;
  if (open !== "") return <VehicleForm key={open} id={open} />;
  const here = all.filter((each) => !each.aside);
  const away = all.filter((each) => each.aside);
  return (
    <>
      <Head title="Vehicles" sub={`${here.length} in use`}>
        <Button icon="plus" onPress={() => go("vehicles/new")}>
          New vehicle
        </Button>
        <Button icon="list" onPress={() => go("vehicles/import")}>
          Import a CSV file
        </Button>
        <Button icon="out" onPress={() => void tried(() => save("/vehicles.csv", "vehicles.csv"))}>
          Export as CSV
        </Button>
      </Head>
      {all.length === 0 && (
        <Empty>
          <p>No vehicle is here yet.</p>
          <p class="soft">
            Add each truck, van or trailer that you own or hire: begin from a class, then measure.
          </p>
        </Empty>
      )}
      <Tiles many={here} />
      {away.length > 0 && (
        <details class="card list-fold" id="aside">
          <summary>
            <b class="tall">Archived</b>{" "}
            <span class="soft">
              {away.length === 1 ? "1 vehicle" : `${away.length} vehicles`}, offered for no show
            </span>
          </summary>
          <Tiles many={away} />
        </details>
      )}
    </>
  );
}

function Tiles({ many }: { many: readonly Vehicle[] }) {
  return (
    <ul class="tiles">
      {many.map((each) => (
        <li key={each.id}>
          <To to={`vehicles/${encodeURIComponent(each.id)}`} class="card vehicle-tile">
            <VehicleFacts each={each} />
          </To>
        </li>
      ))}
    </ul>
  );
}

export function VehicleFacts({ each, children }: { each: Vehicle; children?: ComponentChildren }) {
  const gear = [
    each.straps && each.straps.count > 0 ? `${each.straps.count} straps` : "",
    each.bars ? `${each.bars} bars` : "",
    each.ramp ? "ramp" : "",
    each.lift_gate ? "lift gate" : "",
    each.track ? "track" : "",
    each.axles ? "axles known" : "axles not known",
  ].filter(Boolean);
  return (
    <>
      <Mark mark={each.mark} size={44} />
      <span class="grow">
        <b class="tall">{each.name || each.id}</b>
        <span class="soft">
          {each.id}: {length(each.width_um)} wide, {length(each.length_um)} long,{" "}
          {length(each.height_um)} high
        </span>
        <span class="soft">
          {each.payload_g === null ? "payload not known" : `payload ${mass(each.payload_g)}`},{" "}
          {gear.join(", ")}
        </span>
        {children}
      </span>
    </>
  );
}
