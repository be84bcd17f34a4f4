/** The parts of a vehicle that not every one has: narrow stretches, ramp, axles. */
import { Length, Mass, Percent } from "./form";
import type { Axles, Vehicle } from "./model";
import { Pick, Small, Tick } from "./parts";
import type { PartProps } from "./vehicle-form";

export function NarrowPart({ one, set }: PartProps) {
  const change = (place: number, part: Partial<Vehicle["narrow"][number]>) =>
    set({ narrow: one.narrow.map((each, at) => (at === place ? { ...each, ...part } : each)) });
  return (
    <fieldset class="card stack">
      <legend>Wheel boxes and other narrow stretches</legend>
      {one.narrow.map((each, place) => (
        <div class="form" key={place}>
          {(
            [
              ["from_um", "From the bulkhead"],
              ["to_um", "To"],
              ["width_um", "Width there"],
              ["up_to_um", "Up to a height of"],
            ] as const
          ).map(([key, word]) => (
            <Length
              key={key}
              id={`narrow-${place}-${key}`}
              label={word}
              value={each[key]}
              onChange={(value) => change(place, { [key]: value ?? 0 })}
            />
          ))}
          <Small
            label={`Take away stretch ${place + 1}`}
            onPress={() => set({ narrow: one.narrow.filter((_, at) => at !== place) })}
          >
            Take away
          </Small>
        </div>
      ))}
      <div>
        <Small
          onPress={() =>
            set({
              narrow: [
                ...one.narrow,
                { from_um: 0, to_um: 0, width_um: one.width_um, up_to_um: 300_000 },
              ],
            })
          }
        >
          Add a stretch
        </Small>
      </div>
    </fieldset>
  );
}

export function RampPart({ one, set }: PartProps) {
  const ramp = one.ramp;
  return (
    <fieldset class="card stack">
      <legend>Ramp</legend>
      <Tick
        checked={ramp !== null}
        onChange={(on) =>
          set({
            ramp: on
              ? { length_um: 3_657_600, deck_height_um: 863_600, rating_g: null, wet: false }
              : null,
          })
        }
      >
        It has a walk ramp
      </Tick>
      {ramp && (
        <div class="form">
          <Length
            id="ramp-length"
            label="Length along the slope"
            value={ramp.length_um}
            onChange={(value) => set({ ramp: { ...ramp, length_um: value ?? 0 } })}
          />
          <Length
            id="ramp-deck"
            label="Height of the deck"
            value={ramp.deck_height_um}
            onChange={(value) => set({ ramp: { ...ramp, deck_height_um: value ?? 0 } })}
          />
          <Mass
            id="ramp-rating"
            label="Rating by its maker"
            value={ramp.rating_g}
            onChange={(rating_g) => set({ ramp: { ...ramp, rating_g } })}
          />
          <Tick checked={ramp.wet} onChange={(wet) => set({ ramp: { ...ramp, wet } })}>
            Plan it as wet
          </Tick>
        </div>
      )}
    </fieldset>
  );
}

const BLANK: Axles = {
  kind: "truck",
  front_at_um: -1_500_000,
  rear_at_um: 4_000_000,
  empty_front_g: 0,
  empty_rear_g: 0,
  front_limit_g: null,
  rear_limit_g: null,
  gross_limit_g: null,
  share_min: null,
  share_max: null,
};

/** As in show files: a trailer on a ball is judged by its tongue's share too. */
const TONGUE = { share_min: 0.1, share_max: 0.15 };
const NO_TONGUE = { share_min: null, share_max: null };
const SUPPORTS = {
  truck: ["Front axle", "Rear axle"],
  kingpin: ["Kingpin", "Trailer axles"],
  ball: ["Ball", "Trailer axle"],
} as const;

export function AxlesPart({ one, set }: PartProps) {
  const axles = one.axles;
  const [front, rear] = SUPPORTS[axles?.kind ?? "truck"];
  const change = (part: Partial<Axles>) => set({ axles: { ...(axles ?? BLANK), ...part } });
  return (
    <fieldset class="card stack">
      <legend>Axles</legend>
      <Tick checked={axles !== null} onChange={(on) => set({ axles: on ? BLANK : null })}>
        Its axles are known
      </Tick>
      {axles && (
        <div class="form">
          <Pick
            id="axle-kind"
            label="Kind"
            value={axles.kind}
            options={[
              ["truck", "Truck: front and rear axle"],
              ["kingpin", "Trailer on a kingpin"],
              ["ball", "Trailer on a ball"],
            ]}
            onChange={(kind) =>
              change({ kind: kind as Axles["kind"], ...(kind === "ball" ? TONGUE : NO_TONGUE) })
            }
          />
          <Length
            id="axle-front"
            label={`${front} behind the bulkhead`}
            value={axles.front_at_um}
            onChange={(value) => change({ front_at_um: value ?? 0 })}
            hint="Below zero: ahead of the bulkhead."
          />
          <Length
            id="axle-rear"
            label={`${rear} behind the bulkhead`}
            value={axles.rear_at_um}
            onChange={(value) => change({ rear_at_um: value ?? 0 })}
          />
          <Mass
            id="axle-empty-front"
            label={`${front}, empty`}
            value={axles.empty_front_g}
            onChange={(value) => change({ empty_front_g: value ?? 0 })}
          />
          <Mass
            id="axle-empty-rear"
            label={`${rear}, empty`}
            value={axles.empty_rear_g}
            onChange={(value) => change({ empty_rear_g: value ?? 0 })}
          />
          <Mass
            id="axle-limit-front"
            label={`${front}, limit by the plate`}
            value={axles.front_limit_g}
            onChange={(front_limit_g) => change({ front_limit_g })}
          />
          <Mass
            id="axle-limit-rear"
            label={`${rear}, limit by the plate`}
            value={axles.rear_limit_g}
            onChange={(rear_limit_g) => change({ rear_limit_g })}
          />
          <Mass
            id="axle-limit-gross"
            label="Gross limit by the plate"
            value={axles.gross_limit_g}
            onChange={(gross_limit_g) => change({ gross_limit_g })}
          />
          {axles.kind === "ball" && (
            <>
              <Percent
                id="axle-share-min"
                label="Tongue's share of the gross, at least"
                value={axles.share_min}
                onChange={(share_min) => change({ share_min })}
                hint="Common practice: 10 to 15 %; the trailer's maker decides."
              />
              <Percent
                id="axle-share-max"
                label="Tongue's share of the gross, at most"
                value={axles.share_max}
                onChange={(share_max) => change({ share_max })}
              />
            </>
          )}
        </div>
      )}
    </fieldset>
  );
}
