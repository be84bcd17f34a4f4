/** One vehicle of a plan: from above, its figures, and every row from the door. */
import type { ComponentType } from "preact";
import { useState } from "preact/hooks";
import type { VehicleSheet } from "../../core/bundle";
import { Mark } from "../../ui/mark";
import { Balance, floorLeft } from "./load-bars";
import { isOld } from "../cases/notes";
import { RowCard } from "./door-view";
import { Small } from "../shared/controls";
import { byCode } from "../shared/state";
import { TopView } from "./top-view";
import { length } from "../shared/units";

/** Cases without a mass, or with an old one: said where masses decide. */
function Unweighed({ sheet }: { sheet: VehicleSheet }) {
  const all = sheet.load.flatMap((code) => byCode.value.get(code) ?? []);
  const none = all.filter((each) => each.mass_g === 0).map((each) => each.code);
  const old = all
    .filter((each) => each.mass_g > 0 && isOld(each.notes.weighed_on))
    .map((each) => each.code);
  if (none.length + old.length === 0) return null;
  return (
    <div class="note">
      {none.length > 0 && (
        <p>
          Never weighed: {none.join(", ")}. Payload, axles, straps and people are higher than shown.
        </p>
      )}
      {old.length > 0 && <p>Weighed more than two years ago: {old.join(", ")}.</p>}
    </div>
  );
}

/** The load in three dimensions where it is asked for; its code is fetched only then. */
function InSpace({ sheet }: { sheet: VehicleSheet }) {
  const [Model, setModel] = useState<ComponentType<{ sheet: VehicleSheet }> | null>(null);
  const [open, setOpen] = useState(false);
  const [missing, setMissing] = useState(false);
  const show = async () => {
    setOpen(!open);
    if (Model) return;
    try {
      const got = await import("./model/model");
      setModel(() => got.Model);
    } catch {
      setMissing(true); // no connection: the plain drawing stands below
    }
  };
  return (
    <div class="stack no-print">
      <Small id={`space-${sheet.id}`} pressed={open} onPress={() => void show()}>
        {open ? "Close the three-dimensional view" : "Three-dimensional view"}
      </Small>
      {open &&
        (Model ? (
          <Model sheet={sheet} />
        ) : (
          <p role="status">
            {missing ? "It could not be fetched: the plain drawing says the same." : "One moment."}
          </p>
        ))}
    </div>
  );
}

export function VehicleDrawing({ sheet }: { sheet: VehicleSheet }) {
  return (
    <section class="stack vehicle-drawing" aria-label={sheet.name}>
      <header class="line line-wrap">
        <Mark mark={sheet.mark} size={36} />
        <h3 class="grow">
          {sheet.name} <span class="soft">{sheet.id}</span>
        </h3>
        <span>
          {sheet.rows.length} rows, <b>{length(sheet.floor_length_um)}</b> of{" "}
          {length(sheet.length_um)}, {floorLeft(sheet)}
        </span>
      </header>
      <div
        class="drawing-scrolls"
        tabIndex={0}
        role="group"
        aria-label={`Drawing of ${sheet.name}`}
      >
        <TopView sheet={sheet} label={`${sheet.name} from above: ${sheet.rows.length} rows`} />
      </div>
      <InSpace sheet={sheet} />
      <Unweighed sheet={sheet} />
      <Balance sheet={sheet} />
      <div class="rows-drawn">
        {sheet.rows.map((row) => (
          <RowCard key={row.number} sheet={sheet} row={row} />
        ))}
      </div>
      <p class="caution">
        These figures are aids. Local law, the vehicle's plate, the makers' ratings and a competent
        person decide.
      </p>
    </section>
  );
}
