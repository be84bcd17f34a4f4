/** What new cases must hold, their walls, and room for cable and a connection panel. */
import { Length, SureCount, SureLength } from "../shared/number-field";
import { Text } from "../shared/text-field";

export interface Need {
  name: string;
  count: number;
  height_um: number;
  long: number;
  wide: number;
  high: number;
  wall_um: number | null;
  front_um: number | null;
  behind_um: number | null;
  panel_um: number | null;
  under_um: number | null;
}

const INCH = 25_400;
export const FIRST: Need = {
  name: "",
  count: 6,
  height_um: 30 * INCH,
  long: 28 * INCH,
  wide: 20 * INCH,
  high: 20 * INCH,
  wall_um: INCH / 2,
  front_um: null,
  behind_um: null,
  panel_um: null,
  under_um: null,
};

const SURE = [
  ["long", "Inside length, at least"],
  ["wide", "Inside width, at least"],
  ["high", "Inside height, at least"],
  ["height_um", "Outer height with casters"],
] as const;
const MAYBE = [
  ["wall_um", "Wall and lining, each side"],
  ["front_um", "Room in front of a rack"],
  ["behind_um", "Room behind it, for cable"],
  ["panel_um", "Room for a connection panel"],
  ["under_um", "Casters and base, of the height"],
] as const;

export function NeedFields(props: {
  at: number;
  need: Need;
  onChange: (part: Partial<Need>) => void;
  onRemove: (() => void) | null;
}) {
  const { at, need, onChange, onRemove } = props;
  return (
    <fieldset class="stack">
      <legend class="tall">{need.name || `New cases ${at + 1}`}</legend>
      <div class="form">
        <Text
          id={`need-${at}-name`}
          label="What they hold"
          value={need.name}
          onChange={(name) => onChange({ name })}
        />
        <SureCount
          id={`need-${at}-count`}
          label="How many"
          value={need.count}
          onChange={(count) => onChange({ count })}
        />
        {SURE.map(([key, label]) => (
          <SureLength
            key={key}
            id={`need-${at}-${key}`}
            label={label}
            value={need[key]}
            onChange={(value) => onChange({ [key]: value })}
          />
        ))}
      </div>
      <details>
        <summary>Walls, cable and panel</summary>
        <div class="form">
          {MAYBE.map(([key, label]) => (
            <Length
              key={key}
              id={`need-${at}-${key}`}
              label={label}
              value={need[key]}
              onChange={(value) => onChange({ [key]: value })}
            />
          ))}
        </div>
      </details>
      {onRemove && (
        <div>
          <button type="button" class="btn btn-small" onClick={onRemove}>
            Remove these
          </button>
        </div>
      )}
    </fieldset>
  );
}
