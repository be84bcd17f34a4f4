/** When a show is and where: its days, and what the venue asks of vehicle and crew. */
import type { Venue } from "../shared/api-types";
import { Pick, Small } from "../shared/controls";
import { Length, Percent } from "../shared/number-field";
import { Text } from "../shared/text-field";

export interface When {
  date: string;
  load_day: string;
  return_day: string;
}

const FLOORS = [
  ["", "Not known: counted as uneven"],
  ["good", "Smooth and hard"],
  ["rough", "Uneven, cobbles, cables"],
  ["soft", "Grass, gravel, mud"],
] as const;

const NOTHING: Venue = {
  name: "",
  dock_height_um: null,
  ramp_length_um: null,
  slope_percent: null,
  floor: null,
  distance_um: null,
  notes: "",
};

interface NightProps {
  name: string;
  onName: (name: string) => void;
  when: When;
  onWhen: (when: When) => void;
}

export function Night({ name, onName, when, onWhen }: NightProps) {
  return (
    <fieldset class="card form">
      <legend>The night</legend>
      <Text id="show-name" label="Name" needed value={name} onChange={onName} />
      <DayField
        id="show-date"
        label="Date"
        value={when.date}
        onChange={(date) => onWhen({ ...when, date })}
      />
      <DayField
        id="show-load-day"
        label="Load at the shop"
        hint="Empty: the day of the show."
        max={when.date}
        value={when.load_day}
        onChange={(load_day) => onWhen({ ...when, load_day })}
      />
      <DayField
        id="show-return-day"
        label="Back at the shop"
        hint="Vehicles and cases are busy until then."
        min={when.date}
        value={when.return_day}
        onChange={(return_day) => onWhen({ ...when, return_day })}
      />
    </fieldset>
  );
}

interface DayProps {
  id: string;
  label: string;
  value: string;
  hint?: string;
  min?: string;
  max?: string;
  onChange: (value: string) => void;
}

function DayField({ id, label, value, hint, min, max, onChange }: DayProps) {
  return (
    <div class="field field-tight">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="date"
        value={value}
        min={min || undefined}
        max={max || undefined}
        aria-describedby={hint ? `${id}-hint` : undefined}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
      {hint && (
        <p id={`${id}-hint`} class="soft">
          {hint}
        </p>
      )}
    </div>
  );
}

interface VenueProps {
  venue: Venue | null;
  onChange: (venue: Venue | null) => void;
}

export function VenuePart({ venue, onChange }: VenueProps) {
  if (venue === null)
    return (
      <div>
        <Small id="add-venue" onPress={() => onChange(NOTHING)}>
          Describe the venue: dock, slope, floor, way
        </Small>
      </div>
    );
  const set = (part: Partial<Venue>) => onChange({ ...venue, ...part });
  return (
    <fieldset class="card form form-wide">
      <legend>The venue</legend>
      <Text id="venue-name" label="Name" value={venue.name} onChange={(name) => set({ name })} />
      <WayFields venue={venue} set={set} />
      <div class="field field-tight field-whole">
        <label for="venue-notes">Notes: gate, contact, hours, lift</label>
        <textarea
          id="venue-notes"
          rows={3}
          maxLength={1000}
          value={venue.notes}
          onInput={(event) => set({ notes: event.currentTarget.value })}
        />
      </div>
      <div>
        <Small onPress={() => onChange(null)}>Remove the venue</Small>
      </div>
    </fieldset>
  );
}

/** Dock, ramp, slope, floor and way to the stage. */
function WayFields(props: { venue: Venue; set: (part: Partial<Venue>) => void }) {
  const { venue, set } = props;
  return (
    <>
      <Length
        id="venue-dock"
        label="Height of the dock"
        least="zero"
        hint="0: no dock, unloaded in the street. Empty: not known."
        value={venue.dock_height_um}
        onChange={(dock_height_um) => set({ dock_height_um })}
      />
      <Length
        id="venue-ramp"
        label="Ramp from street to dock, along its slope"
        value={venue.ramp_length_um}
        onChange={(ramp_length_um) => set({ ramp_length_um })}
      />
      <Percent
        id="venue-slope"
        label="Steepest slope to the stage"
        most={0.5}
        value={venue.slope_percent === null ? null : venue.slope_percent / 100}
        onChange={(share) => set({ slope_percent: share === null ? null : share * 100 })}
      />
      <Pick
        id="venue-floor"
        label="Floor"
        value={venue.floor ?? ""}
        options={FLOORS}
        onChange={(floor) => set({ floor: (floor || null) as Venue["floor"] })}
      />
      <Length
        id="venue-way"
        label="From the vehicle to the stage"
        least="zero"
        value={venue.distance_um}
        onChange={(distance_um) => set({ distance_um })}
      />
    </>
  );
}
