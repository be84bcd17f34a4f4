/** The parts of a vehicle that not every one has: narrow stretches, ramp, axles. */
import { Mass, Percent, SureLength, SureMass } from "../shared/number-field";
import type { Axles, Vehicle } from "../shared/api-types";
import { Pick, Small, Tick } from "../shared/controls";
import type { PartProps } from "./form";

const NOT_YET = Number.NaN;
const STRETCH = [
  ["from_um", "From the bulkhead", "zero"],
  ["to_um", "To", "above"],
  ["width_um", "Width there", "above"],
  ["up_to_um", "Up to a height of", "above"],
] as const;

export function NarrowPart({ one, set }: PartProps) {
  const change = (place: number, part: Partial<Vehicle["narrow"][number]>) =>
    set({ narrow: one.narrow.map((each, at) => (at === place ? { ...each, ...part } : each)) });
  return (
    <fieldset class="card stack">
      <legend>Wheel boxes and other narrow stretches</legend>
      {one.narrow.map((each, place) => (
        <div class="form" key={place}>
          {STRETCH.map(([key, word, least]) => (
            <SureLength
              key={key}
              id={`narrow-${place}-${key}`}
              label={word}
              least={least}
              value={each[key]}
              onChange={(value) => change(place, { [key]: value })}
              wrong={
                key === "to_um" && each.to_um <= each.from_um && "Farther than where it begins"
              }
            />
          ))}
          <Small
            label={`Remove stretch ${place + 1}`}
            onPress={() => set({ narrow: one.narrow.filter((_, at) => at !== place) })}
          >
            Remove
          </Small>
        </div>
      ))}
      <div>
        <Small
          onPress={() =>
            set({
              narrow: [
                ...one.narrow,
                { from_um: NOT_YET, to_um: NOT_YET, width_um: NOT_YET, up_to_um: NOT_YET },
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
          <SureLength
            id="ramp-length"
            label="Length along the slope"
            value={ramp.length_um}
            onChange={(length_um) => set({ ramp: { ...ramp, length_um } })}
          />
          <SureLength
            id="ramp-deck"
            least="zero"
            label="Height of the deck"
            value={ramp.deck_height_um}
            onChange={(deck_height_um) => set({ ramp: { ...ramp, deck_height_um } })}
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
  front_at_um: NOT_YET,
  rear_at_um: NOT_YET,
  empty_front_g: NOT_YET,
  empty_rear_g: NOT_YET,
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

const KINDS = [
  ["truck", "Truck: front and rear axle"],
  ["kingpin", "Trailer on a kingpin"],
  ["ball", "Trailer on a ball"],
] as const;

export function AxlesPart({ one, set }: PartProps) {
  const axles = one.axles;
  const change = (part: Partial<Axles>) => set({ axles: { ...(axles ?? BLANK), ...part } });
  return (
    <fieldset class="card stack">
      <legend>Axles</legend>
      <Tick checked={axles !== null} onChange={(on) => set({ axles: on ? BLANK : null })}>
        Its axles are known
      </Tick>
      {axles && <Supports axles={axles} change={change} />}
    </fieldset>
  );
}

/** Where the two supports stand, what they weigh empty, and the limits on the plate. */
function Supports({ axles, change }: ShareProps) {
  const [front, rear] = SUPPORTS[axles.kind];
  const masses = [
    ["empty_front_g", "axle-empty-front", `${front}, empty`],
    ["empty_rear_g", "axle-empty-rear", `${rear}, empty`],
  ] as const;
  const limits = [
    ["front_limit_g", "axle-limit-front", `${front}, limit by the plate`],
    ["rear_limit_g", "axle-limit-rear", `${rear}, limit by the plate`],
    ["gross_limit_g", "axle-limit-gross", "Gross limit by the plate"],
  ] as const;
  return (
    <div class="form">
      <Pick
        id="axle-kind"
        label="Kind"
        value={axles.kind}
        options={KINDS}
        onChange={(kind) =>
          change({ kind: kind as Axles["kind"], ...(kind === "ball" ? TONGUE : NO_TONGUE) })
        }
      />
      <SureLength
        id="axle-front"
        least="any"
        label={`${front} behind the bulkhead`}
        value={axles.front_at_um}
        onChange={(front_at_um) => change({ front_at_um })}
        hint="Below zero: ahead of the bulkhead."
      />
      <SureLength
        id="axle-rear"
        least="any"
        label={`${rear} behind the bulkhead`}
        value={axles.rear_at_um}
        onChange={(rear_at_um) => change({ rear_at_um })}
        wrong={axles.rear_at_um <= axles.front_at_um && "Farther back than the one in front"}
      />
      {masses.map(([key, id, label]) => (
        <SureMass
          key={key}
          id={id}
          label={label}
          value={axles[key]}
          onChange={(value) => change({ [key]: value })}
        />
      ))}
      {limits.map(([key, id, label]) => (
        <Mass
          key={key}
          id={id}
          label={label}
          value={axles[key]}
          onChange={(value) => change({ [key]: value })}
        />
      ))}
      <FrontShares axles={axles} change={change} />
    </div>
  );
}

interface ShareProps {
  axles: Axles;
  change: (part: Partial<Axles>) => void;
}

/** What the front axle or the tongue carries of the mass on the ground, at least and at most. */
function FrontShares({ axles, change }: ShareProps) {
  return (
    <>
      {axles.kind === "truck" && (
        <Percent
          id="axle-share-min"
          label="Front axle's share of the mass on the ground, at least"
          value={axles.share_min}
          onChange={(share_min) => change({ share_min })}
          hint="Empty: 20 %, common practice with no source; the maker decides."
        />
      )}
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
            wrong={(axles.share_max ?? 1) < (axles.share_min ?? 0) && "No less than at least"}
          />
        </>
      )}
    </>
  );
}
