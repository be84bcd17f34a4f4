/** What the office's server sends. Micrometres, grams, ms since 1970. */
import type { Stance, VehicleSheet } from "../../core/bundle";

export type CaseState = "good" | "damaged" | "repair" | "retired";

export interface Content {
  what: string;
  count: number;
}

export interface FleetCase {
  code: string;
  name: string;
  department: string;
  home: string;
  length_um: number;
  width_um: number;
  height_um: number;
  mass_g: number;
  turn: boolean;
  stances: Stance[];
  lid_load_g: number | null;
  rides: boolean;
  lid_casters: boolean;
  casters: boolean;
  never_under: string[];
  owner: string;
  state: CaseState;
  notes: { weighed_on: string; return_on: string; contents: Content[]; note: string };
}

export interface CasePhoto {
  id: string;
  words: string;
  media_type: string;
  at: number;
}

export interface NightPhoto {
  show: string;
  photo: string;
  at: number;
  words: string;
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

export interface Vehicle {
  id: string;
  name: string;
  mark: number;
  width_um: number;
  length_um: number;
  height_um: number;
  door_height_um: number | null;
  payload_g: number | null;
  narrow: { from_um: number; to_um: number; width_um: number; up_to_um: number }[];
  ramp: {
    length_um: number;
    deck_height_um: number;
    rating_g: number | null;
    wet: boolean;
  } | null;
  axles: Axles | null;
  straps: { count: number; wll_g: number | null } | null;
  bars: number;
  driver_side: "left" | "right";
  lift_gate: { deep_um: number; wide_um: number; rating_g: number | null } | null;
  track: { heights_um: number[]; pitch_um: number } | null;
  /** Given back or laid up: offered for no show, kept for those that were. */
  aside: boolean;
}

export interface Shop {
  name: string;
  units: { length: "in" | "cm" | "mm"; mass: "lb" | "kg" };
  numbering: string;
  checks: unknown[];
  walk: unknown[];
  homes: string[];
}

export interface ShowLine {
  id: string;
  name: string;
  date: string;
  issued: number;
  cases: number;
  vehicles: string[];
  closed: boolean;
}

export interface Called {
  code: string;
  drop: number;
  vehicle: string | null;
  near: "bulkhead" | "door" | null;
  with: string | null;
}

export interface Show extends Omit<ShowLine, "cases"> {
  rules: Record<string, unknown>;
  units: Shop["units"];
  cases: Called[];
}

export interface Best {
  floor_length_um: number;
  lower_bound_um: number;
  proven: boolean;
  vehicles: number;
  left_out: number;
}

export interface Job {
  job: string;
  state: "waiting" | "working" | "done" | "failed";
  best: Best | null;
  revision: number | null;
  trouble: string | null;
}

export interface PlanLine {
  revision: number;
  made_at: number;
  issued_at: number | null;
  floor_length_um: number;
  lower_bound_um: number;
  proven: boolean;
  left_out: number;
  faults: number;
}

/** A plan document in the show's own units; the office hands it back as it came. */
export interface PlanDocument {
  left_out: { code: string; reason: string }[];
  [key: string]: unknown;
}

export interface Plan {
  revision: number;
  plan: PlanDocument;
  faults: string[];
  sheets: VehicleSheet[];
  issued: boolean;
}

export interface Join {
  code: string | null;
  url: string | null;
  qr_svg: string | null;
  pin_set: boolean;
  ends_at: number;
}
