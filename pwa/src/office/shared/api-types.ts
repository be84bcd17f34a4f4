/** What the office's server sends. Micrometres, grams, ms since 1970. */
import type { VehicleSheet } from "../../core/bundle";

export type { Axles, Content, FleetCase, Vehicle } from "./declared";

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

export interface Shop {
  name: string;
  units: { length: "in" | "cm" | "mm"; mass: "lb" | "kg" };
  language: "en" | "es";
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
  priority: "must" | "nice";
}

/** Where a load goes; null: not known, a dock of 0: unloaded in the street. */
export interface Venue {
  name: string;
  dock_height_um: number | null;
  ramp_length_um: number | null;
  slope_percent: number | null;
  floor: "good" | "rough" | "soft" | null;
  distance_um: number | null;
  notes: string;
}

export interface Show extends Omit<ShowLine, "cases"> {
  load_day: string;
  return_day: string;
  drops: Record<string, string>;
  venue: Venue | null;
  rules: Record<string, unknown>;
  units: Shop["units"];
  cases: Called[];
}

/** A plan to choose: its floor, and what it asks of hands. */
export interface Choice {
  revision: number;
  floor_length_um: number;
  lifts: number;
  turns: number;
}

export interface Best {
  floor_length_um: number;
  lower_bound_um: number;
  proven: boolean;
  vehicles: number;
  left_out: number;
  moves?: readonly string[];
  choices?: readonly Choice[];
  robust?: { floor_more_um: number | null; tight_rows: readonly string[] };
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

/** How good a revision is, as when it was made. */
export interface Quality extends Best {
  seconds: number;
  asked: {
    vehicles?: string[];
    revision?: number;
    pinned?: Record<string, number | number[]>;
    robust?: boolean;
    alternatives?: number;
  } | null;
  trouble: string | null;
  by_planner: boolean;
}

export interface Plan {
  revision: number;
  quality: Quality;
  /** When each case is needed at the venue, as the plan was made. */
  drops: Record<string, number>;
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
