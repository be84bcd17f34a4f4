/** Prices in the owner's own currency, entered once; every answer is there without them too. */
import { useEffect, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { answered } from "../shared/api";
import { Amount, Mass, SureCount } from "../shared/number-field";
import { choosable, done, tried } from "../shared/state";
import { Text } from "../shared/text-field";

interface VehiclePrice {
  id: string;
  day_cents: number | null;
  distance_cents: number | null;
  tolls_cents: number;
  loading_metre_cents: number | null;
  count: number;
  trips: number;
  licence: string;
  empty_g: number | null;
  tow_limit_g: number | null;
}
interface Prices {
  currency: string;
  driver_hour_cents: number | null;
  vehicles: VehiclePrice[];
  licences: string[] | null;
}

const fresh = (id: string): VehiclePrice => ({
  id,
  day_cents: null,
  distance_cents: null,
  tolls_cents: 0,
  loading_metre_cents: null,
  count: 1,
  trips: 1,
  licence: "",
  empty_g: null,
  tow_limit_g: null,
});

export function PricesPart() {
  const [prices, setPrices] = useState<Prices | null>(null);
  const [seen, setSeen] = useState("");
  const show = (found: { json: Prices; version: string } | null) => {
    if (!found) return;
    setPrices(found.json);
    setSeen(found.version);
  };
  useEffect(() => void tried(() => answered<Prices>("GET", "/prices")).then(show), []);
  if (!prices) return <p class="soft">One moment.</p>;
  const of = (id: string) => prices.vehicles.find((each) => each.id === id) ?? fresh(id);
  const set = (one: VehiclePrice) =>
    setPrices({
      ...prices,
      vehicles: [...prices.vehicles.filter((each) => each.id !== one.id), one],
    });
  const keep = async () => {
    const ours = new Set(choosable().map((each) => each.id));
    const body = { ...prices, vehicles: prices.vehicles.filter((each) => ours.has(each.id)) };
    const kept = await tried(() => answered<Prices>("PUT", "/prices", body, seen));
    show(kept);
    if (kept) done.value = "Prices saved.";
  };
  return (
    <section class="card stack" aria-label="Prices">
      <h2>Prices, in any currency</h2>
      <p class="soft">Leave empty what you do not know: then no sum is shown that would need it.</p>
      <General prices={prices} onChange={setPrices} />
      {choosable().map((each) => (
        <OneVehicle key={each.id} name={each.name || each.id} of={of(each.id)} onChange={set} />
      ))}
      <div>
        <Button id="keep-prices" tone="ask" onPress={() => void keep()}>
          Save prices
        </Button>
      </div>
    </section>
  );
}

function General(props: { prices: Prices; onChange: (prices: Prices) => void }) {
  const { prices, onChange } = props;
  return (
    <div class="form">
      <Text
        id="currency"
        label="Currency"
        most={12}
        value={prices.currency}
        onChange={(currency) => onChange({ ...prices, currency })}
      />
      <Amount
        id="driver-hour"
        label="An hour of a driver"
        value={prices.driver_hour_cents}
        onChange={(driver_hour_cents) => onChange({ ...prices, driver_hour_cents })}
      />
      <Text
        id="licences"
        label="Licence classes that somebody holds"
        value={(prices.licences ?? []).join(", ")}
        onChange={(text) => {
          const held = text
            .split(",")
            .map((each) => each.trim())
            .filter(Boolean);
          onChange({ ...prices, licences: held.length > 0 ? held : null });
        }}
        hint="Parted by commas; empty: not checked."
      />
    </div>
  );
}

function OneVehicle(props: {
  name: string;
  of: VehiclePrice;
  onChange: (of: VehiclePrice) => void;
}) {
  const { name, of, onChange } = props;
  const set = (part: Partial<VehiclePrice>) => onChange({ ...of, ...part });
  const id = (key: string) => `price-${of.id}-${key}`;
  return (
    <details open={of.day_cents !== null}>
      <summary>{name}</summary>
      <div class="form">
        <Amount
          id={id("day")}
          label="A day"
          value={of.day_cents}
          onChange={(day_cents) => set({ day_cents })}
        />
        <Amount
          id={id("distance")}
          label="A mile or kilometre"
          value={of.distance_cents}
          onChange={(distance_cents) => set({ distance_cents })}
        />
        <Amount
          id={id("tolls")}
          label="Tolls, there and back"
          value={of.tolls_cents}
          onChange={(tolls_cents) => set({ tolls_cents: tolls_cents ?? 0 })}
        />
        <Amount
          id={id("metre")}
          label="Or a loading metre"
          value={of.loading_metre_cents}
          onChange={(loading_metre_cents) => set({ loading_metre_cents })}
          hint="A metre of floor 2.4 m wide, in place of the day."
        />
        <Terms of={of} set={set} />
      </div>
    </details>
  );
}

/** How it can be had: how many, trips, licence, and what may be towed. */
function Terms({ of, set }: { of: VehiclePrice; set: (part: Partial<VehiclePrice>) => void }) {
  const id = (key: string) => `price-${of.id}-${key}`;
  return (
    <>
      <SureCount
        id={id("count")}
        label="How many can be had"
        value={of.count}
        onChange={(count) => set({ count })}
      />
      <SureCount
        id={id("trips")}
        label="Trips each at most"
        value={of.trips}
        onChange={(trips) => set({ trips })}
      />
      <Text
        id={id("licence")}
        label="Licence class"
        most={20}
        value={of.licence}
        onChange={(licence) => set({ licence })}
      />
      <Mass
        id={id("empty")}
        label="Trailer: its own mass"
        value={of.empty_g}
        onChange={(empty_g) => set({ empty_g })}
      />
      <Mass
        id={id("tow")}
        label="Trailer: may be towed in all"
        value={of.tow_limit_g}
        onChange={(tow_limit_g) => set({ tow_limit_g })}
      />
    </>
  );
}
