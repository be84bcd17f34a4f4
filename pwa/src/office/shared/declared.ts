/** Made by `python -m tests.support.declared`: do not edit. */

export interface Content {
  what: string;
  count: number;
}

export interface Notes {
  weighed_on: string;
  return_on: string;
  contents: Content[];
  note: string;
  tags: string[];
}

export interface FleetCase {
  code: string;
  length_um: number;
  width_um: number;
  height_um: number;
  name: string;
  department: string;
  home: string;
  mass_g: number;
  turn: boolean;
  stances: ("upright" | "on_end" | "on_side")[];
  lid_load_g: number | null;
  rides: boolean;
  lid_casters: boolean;
  casters: boolean;
  never_under: string[];
  never_beside: string[];
  owner: string;
  state: "good" | "damaged" | "repair" | "retired";
  notes: Notes;
}

export interface Axles {
  kind: "truck" | "kingpin" | "ball";
  front_at_um: number;
  rear_at_um: number;
  empty_front_g: number;
  empty_rear_g: number;
  front_limit_g: number | null;
  rear_limit_g: number | null;
  gross_limit_g: number | null;
  share_min: number | null;
  share_max: number | null;
}

export interface LiftGate {
  deep_um: number;
  wide_um: number;
  rating_g: number | null;
}

export interface Narrow {
  from_um: number;
  to_um: number;
  width_um: number;
  up_to_um: number;
}

export interface Ramp {
  length_um: number;
  deck_height_um: number;
  rating_g: number | null;
  wet: boolean;
}

export interface Straps {
  count: number;
  wll_g: number | null;
}

export interface Track {
  heights_um: number[];
  pitch_um: number;
}

export interface Vehicle {
  id: string;
  width_um: number;
  length_um: number;
  height_um: number;
  name: string;
  mark: number;
  door_height_um: number | null;
  payload_g: number | null;
  narrow: Narrow[];
  ramp: Ramp | null;
  axles: Axles | null;
  straps: Straps | null;
  bars: number;
  driver_side: "left" | "right";
  lift_gate: LiftGate | null;
  track: Track | null;
  aside: boolean;
}
