/**
 * The night as the events tell it. Plain data, null where there is nothing; the server's
 * `server/core/state.py` holds the very same fields and both suites compare them.
 *
 * Loading moves (shop_load, load_out): a case is done when it is on. Unloading moves (load_in,
 * put_away): it is done when it is off (off the vehicle, or back in its home).
 */
import type { Move } from "./bundle";
import type { ExcuseWhy, Floor, Read, Role } from "./events";
import type { Range } from "./running-numbers";

/** Who said it, when and how. `at` is the phone's clock; `hlc` orders. */
export interface Mark {
  event: string;
  move: Move;
  vehicle: string | null;
  device: string;
  by: string;
  by_id: string;
  role: Role;
  at: number;
  hlc: string;
}

export interface CaseMark extends Mark {
  did: "on" | "off";
  row: number | null;
  read: Read;
  why: string | null;
}

export interface Excuse extends Mark {
  code: string;
  why: ExcuseWhy;
  custodian: string | null;
  collect_by: string | null;
  for_code: string | null;
  to_vehicle: string | null;
  note: string | null;
}

export type Status =
  "not_yet" | "missing" | "left_on_purpose" | "never_came" | "swapped" | "other_vehicle";

/** One due case that is not done; `accounted`: the chief excused it. */
export interface NotOn {
  code: string;
  row: number | null;
  status: Status;
  accounted: boolean;
  for_code: string | null;
  to_vehicle: string | null;
  stands_on: string | null;
}

/** On board, yet not due here. */
export interface Stray {
  code: string;
  what: "other_vehicle" | "swapped" | "excused" | "not_on_show" | "unknown";
  due_on: string | null;
}

/** Recorded on `vehicle` and later on `stands_on`, never taken off the first. */
export interface Conflict {
  code: string;
  vehicle: string;
  stands_on: string;
}

type RowName = "open" | "full" | "strapped" | "empty";

export interface StrapCount extends Mark {
  count: number;
  filled: boolean;
}

export interface RowState {
  number: number;
  state: RowName;
  called_full: boolean;
  needed: number;
  counted: number | null;
  disagreement: boolean;
  counts: StrapCount[];
  needs_fill: boolean;
  filled: boolean;
  due: string[];
  on: string[];
  taken_by: Mark | null;
  reopened: number;
  photos: string[];
}

export interface CheckState {
  id: string;
  gate: string;
  open: boolean;
  ok: boolean | null;
  note: string | null;
  photo: string | null;
  /** Phones answered differently, each counted by its latest answer. */
  disagreement: boolean;
  mark: Mark | null;
  /** What a yes still needs to count. */
  lacks: "note" | "photo" | null;
}

/** Grams with the empty vehicle; `assumed`: codes whose place is not known, taken at the door. */
export interface AxleState {
  front_g: number;
  rear_g: number;
  gross_g: number;
  share: number | null;
  assumed: string[];
  /** Where masses are assumed: the least of each support and of the share, and its greatest. */
  least_front_g: number;
  least_rear_g: number;
  most_share: number | null;
}

/** One reason why a vehicle may not go (or the night not be signed off). */
export interface Held {
  gate: string;
  code: string | null;
  row: number | null;
  check: string | null;
  device: string | null;
  vehicle: string | null;
  what: string | null;
  value: number | null;
  limit: number | null;
  overridable: boolean;
}

export interface Override extends Mark {
  gate: string;
  why: string;
}

export interface Signed extends Mark {
  digest: string;
  signers: { role: string; name: string }[];
}

/** The ramp as measured at the venue; every figure of the way counts it in place of the plan. */
export interface RampState {
  rise_um: number;
  length_um: number;
  floor: Floor;
  width_um: number | null;
}

export interface Leg {
  move: Move;
  vehicle: string;
  /** Due now, in the order of the sequence; excused cases are not due. */
  due: string[];
  /** On board now. */
  on: string[];
  /** Taken off in this move. */
  off: string[];
  /** How many of `due` are done. */
  done: number;
  /** Latest change of each case in this leg: who, when, how read. */
  marks: Record<string, CaseMark>;
  excused: Record<string, Excuse>;
  not_on: NotOn[];
  strays: Stray[];
  conflicts: Conflict[];
  rows: RowState[];
  /** Row in which each case on board stands; null: not said and not planned. */
  row_of: Record<string, number | null>;
  /** Whose planned place each due or standing case takes: its own, or that of the case it is for. */
  place_of: Record<string, string | null>;
  checks: CheckState[];
  /** Checks that hold the first case; empty once a case has moved. */
  before_open: string[];
  hands: number | null;
  ramp: RampState | null;
  /** The load at worst, and at its least; they differ by the `unweighed` cases on board. */
  mass_g: number;
  least_mass_g: number;
  unweighed: string[];
  axles: AxleState | null;
  held: Held[];
  overridden: Override[];
  /** Devices that the chief lets go though they hold unsent scans. */
  unsent_known: string[];
  released: Signed | null;
  recalled: Mark | null;
  changed_since_release: boolean;
  /** First and last case done, milliseconds by the hybrid clock. */
  first_at: number | null;
  last_at: number | null;
}

export interface StopState {
  id: string;
  done: boolean;
  ok: boolean | null;
  note: string | null;
  mark: Mark | null;
}

export interface Hazard extends Mark {
  hazard: string;
  text: string;
  photo: string | null;
}

export interface Damage extends Mark {
  code: string;
  note: string;
  photo: string | null;
}

export interface Added extends Mark {
  code: string;
  name: string;
  owner: string;
  travels: boolean;
  length_um: number | null;
  width_um: number | null;
  height_um: number | null;
  mass_g: number | null;
  photo: string | null;
}

/** The latest mass of a case, by a scale or by the chief's guess. */
export interface Weighed extends Mark {
  code: string;
  mass_g: number;
  how: "scale" | "guess";
}

/** `gaps`: ranges of running numbers that exist (a later one is here) but have not arrived. */
export interface DeviceState {
  device: string;
  by: string;
  by_id: string;
  role: Role;
  last_n: number;
  gaps: Range[];
  at: number;
  hlc: string;
}

/** Where a case was when it was last seen: on its vehicle, at a named place, at shop or venue, home. */
export type Whereabouts = "vehicle" | "place" | "shop" | "venue" | "home";

/** What the chief said of a case, and what is recorded of it (null: its spare is no case at all). */
export interface Contradiction {
  code: string;
  move: Move;
  vehicle: string | null;
  why: ExcuseWhy;
  note: string | null;
  by: string;
  at: number;
  seen: Seen | null;
}

export interface Seen extends Mark {
  code: string;
  what: "on" | "off" | "seen" | "damaged" | "row_photo";
  where: Whereabouts;
  place: string | null;
  read: Read | null;
}

export interface HomeList {
  home: string;
  cases: { code: string; away: boolean; damaged: boolean; mark: CaseMark | null }[];
}

export interface State {
  legs: Record<Move, Record<string, Leg>>;
  walk: StopState[];
  hazards: Hazard[];
  damaged: Record<string, Damage>;
  added: Record<string, Added>;
  weighed: Record<string, Weighed>;
  devices: Record<string, DeviceState>;
  last_seen: Record<string, Seen>;
  contradictions: Contradiction[];
  put_away: HomeList[];
  /** Due back but not back: what next morning has to be chased. */
  not_back: string[];
  signoff_held: Held[];
  signed_off: Signed | null;
  closed: Mark | null;
}
