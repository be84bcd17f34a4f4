/** Lift gate and track of a vehicle: what a plate says and a tape measures. */
import { Mass, SureLength } from "../shared/number-field";
import { Small, Tick } from "../shared/controls";
import type { PartProps } from "./form";

const IN = 25_400;
/** To begin with; common practice, no source: a tape replaces them. */
const GATE = { deep_um: 48 * IN, wide_um: 80 * IN, rating_g: null };
const TRACK = { heights_um: [18 * IN, 48 * IN], pitch_um: 2 * IN };

export function GatePart({ one, set }: PartProps) {
  const gate = one.lift_gate;
  return (
    <fieldset class="card stack">
      <legend>Lift gate</legend>
      <Tick
        id="has-gate"
        checked={gate !== null}
        onChange={(on) => set({ lift_gate: on ? GATE : null })}
      >
        It has a lift gate
      </Tick>
      {gate && (
        <div class="form">
          <Mass
            id="gate-rating"
            label="Rating by its own plate"
            value={gate.rating_g}
            onChange={(rating_g) => set({ lift_gate: { ...gate, rating_g } })}
            hint="Empty: not known. Cases over it are named on the pull list."
          />
          <SureLength
            id="gate-deep"
            label="Platform, depth"
            value={gate.deep_um}
            onChange={(deep_um) => set({ lift_gate: { ...gate, deep_um } })}
          />
          <SureLength
            id="gate-wide"
            label="Platform, width"
            value={gate.wide_um}
            onChange={(wide_um) => set({ lift_gate: { ...gate, wide_um } })}
          />
        </div>
      )}
    </fieldset>
  );
}

export function TrackPart({ one, set }: PartProps) {
  const track = one.track;
  const heights = (next: number[]) => track && set({ track: { ...track, heights_um: next } });
  return (
    <fieldset class="card stack">
      <legend>Track or anchors on the walls</legend>
      <Tick
        id="has-track"
        checked={track !== null}
        onChange={(on) => set({ track: on ? TRACK : null })}
      >
        It has rows of anchors along both walls
      </Tick>
      {track && (
        <div class="form">
          <SureLength
            id="track-pitch"
            label="From anchor to anchor"
            value={track.pitch_um}
            onChange={(pitch_um) => set({ track: { ...track, pitch_um } })}
          />
          {track.heights_um.map((height, place) => (
            <SureLength
              key={place}
              least="zero"
              id={`track-${place}`}
              label={`Height of row ${place + 1} above the floor`}
              value={height}
              onChange={(value) =>
                heights(track.heights_um.map((old, at) => (at === place ? value : old)))
              }
            />
          ))}
          <div class="acts-line">
            {track.heights_um.length < 10 && (
              <Small onPress={() => heights([...track.heights_um, Number.NaN])}>
                Add a row of anchors
              </Small>
            )}
            {track.heights_um.length > 1 && (
              <Small onPress={() => heights(track.heights_um.slice(0, -1))}>
                Take the last away
              </Small>
            )}
          </div>
        </div>
      )}
    </fieldset>
  );
}
