/** What the server hands one phone for a show: plan, figures, fleet and lists. µm, g, ms since 1970. */

export type Move = "shop_load" | "load_in" | "load_out" | "put_away";
export const MOVES: readonly Move[] = ["shop_load", "load_in", "load_out", "put_away"];

export type Stance = "upright" | "on_end" | "on_side";
export type Side = "driver" | "middle" | "kerb" | "full";
export type Words = Record<string, string>;

/** One result with where it comes from; a planning figure, never a permission. */
/** `value` null: no number will do, the derivation says why and what else would. */
export interface Figure {
  value: number | string | null;
  unit: string;
  source: string;
  derivation: string;
  caution: string;
}

export interface Card {
  key: string;
  figure: Figure;
}

/**
 * Who touches a case, and where it is refused why and what else; `people` null: no number will do.
 * Plans issued by an older server have none.
 */
interface HandCheck {
  people: number | null;
  spotters: number;
  may_go: boolean;
  slope: boolean;
  reasons: string[];
  ways: string[];
  /** What is to be read or weighed first; absent in plans issued before. */
  asks?: string[];
}

/** What everybody hears before the first case; hazards by name and how many. */
export interface Brief {
  heaviest: string | null;
  hands_needed: number;
  slope: string;
  refused: string[];
  lifts: string[];
  hazards: [string, number][];
}

/** Where one case stands: x from the left wall seen from the door, y from the bulkhead, z up. */
export interface PlaceSheet {
  code: string;
  x: number;
  y: number;
  z: number;
  dx: number;
  dy: number;
  dz: number;
  stance: Stance;
  turned: boolean;
  on: string[];
  side: Side;
  push: number;
  lift: number;
  cards: Card[];
  check?: HandCheck | null;
  /** Up to how many grams one person lifts or tips it, two, and so on; empty: it only rolls. */
  lift_limits?: number[];
}

export interface RowSheet {
  number: number;
  start_um: number;
  depth_um: number;
  slack_um: number;
  /** Open behind stacks that the strap line does not touch; absent in plans issued before. */
  void_um?: number;
  straps: number;
  why: Figure;
  fill: Figure | null;
  places: PlaceSheet[];
}

export interface AxleSheet {
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

interface RampSheet {
  length_um: number;
  deck_height_um: number;
  rating_g: number | null;
  wet: boolean;
}

export interface VehicleSheet {
  id: string;
  name: string;
  mark: number;
  width_um: number;
  length_um: number;
  height_um: number;
  payload_g: number | null;
  driver_side: "left" | "right";
  straps: { count: number; wll_g: number | null } | null;
  bars: number;
  floor_length_um: number;
  mass_g: number;
  axles: AxleSheet | null;
  ramp: RampSheet | null;
  /** Absent in bundles of an older server. */
  lift_gate?: { rating_g: number | null } | null;
  rows: RowSheet[];
  load: string[];
  unload: string[];
  briefing: Card[];
  brief?: Brief | null;
}

interface CaseCard {
  code: string;
  name: string;
  department: string;
  home: string;
  length_um: number;
  width_um: number;
  height_um: number;
  /** 0: nobody stated it; `most_g` is then what it weighs at worst, by its size. */
  mass_g: number;
  most_g?: number;
  drop: number | null;
  owner: string;
  state: "good" | "damaged" | "repair" | "retired";
  vehicle: string | null;
  last_seen: { place: string; at: number; by: string } | null;
  /** Texts of further stickers on it; absent where there are none. */
  tags?: string[];
  /** Name of its photo, on cases of this show of which the shop keeps one. */
  photo?: string;
}

export interface Check {
  id: string;
  move: Move;
  scope: "vehicle" | "show";
  text: Words;
  gate: string;
  photo: boolean;
  /** Lists that an owner kept on an older server have neither. */
  moment?: Moment;
  note?: boolean;
}

/** When a check is asked: before the first case, while the work goes on, before it ends. */
export type Moment = "before" | "during" | "end";

export interface Stop {
  id: string;
  text: Words;
}

export interface Bundle {
  format: "rowcall-bundle-1";
  server: string;
  show: { id: string; name: string; date: string };
  revision: number;
  units: { length: "in" | "cm" | "mm"; mass: "lb" | "kg" };
  /** `hands`: whose strength the figures of guidance are read for. */
  rules: { slack_limit_um: number | null; securing: string; hands?: "men" | "mixed" };
  vehicles: VehicleSheet[];
  cases: Record<string, CaseCard>;
  checks: Check[];
  walk: Stop[];
  /** Places of the shop in walking order; bundles of older servers have none. */
  homes?: string[];
  /** Names of drops by number; absent where none has one. */
  drops?: Record<string, string>;
  /** An older server says nothing of earlier nights. */
  last_times?: LastTime[];
}

/** How long a vehicle took in a move on the latest earlier night that it was worked in it. */
interface LastTime {
  vehicle: string;
  move: Move;
  minutes: number;
  cases: number;
  date: string;
}
