/** Everything that screens read. Only the modules of `model/` and `sync/` write here. */
import { computed, signal } from "@preact/signals";
import type { Bundle, Move, VehicleSheet } from "../core/bundle";
import type { Read } from "../core/events";
import type { PlanMove } from "../core/plan-moves";
import type { Leg, State } from "../core/state";
import type { RefusedEvent } from "../store/db";
import type { Session } from "../store/meta";
import type { StoreTroubleKind } from "../store/trouble";
import type { Hit, Quality, Region } from "../scan/hits";
import type { Answer } from "./answering";

export type { Answer } from "./answering";
export type { Session } from "../store/meta";

/** How the phone stands with the server; it says nothing about what is sent: that is `unsent`. */
export interface Link {
  /** reached: the last try was answered; waiting: not, and the next try is at `next_try`. */
  state: "never" | "reached" | "waiting" | "signed_out";
  /** When the server was last heard, ms since 1970; null: never in this session. */
  heard_at: number | null;
  next_try: number | null;
  /** Seconds that the phone's clock is ahead of the server's, null before the first answer. */
  clock_ahead: number | null;
}

/** The answer to the last scan, to be shown large until the next. */
export interface Shown {
  answer: Answer;
  read: Read;
  /** The event that the scan made, null where it made none (a stray, an unknown code). */
  event: string | null;
  at: number;
  /** Milliseconds since 1970 until which `undo(event)` may be offered. */
  undo_until: number | null;
}

/** Labels in the camera's last picture, to be drawn over it. */
export interface Sights {
  hits: readonly Hit[];
  /** The part of the picture that the screen shows. */
  shown: Region;
  /** The label that has just counted. */
  taken: string | null;
  outside: readonly string[];
  /** Labels in the frame between which a tap decides. */
  choose: readonly string[];
  quality: Quality;
}

/** Trouble with words of its own on the screen; `detail` is for the small print. */
export interface Trouble {
  kind: StoreTroubleKind | "storage_nearly_full" | "came_back_empty";
  detail: string;
}

export interface Note {
  at: number;
  text: string;
}

/** What the chief sees of each phone of the show. */
export interface DeviceHeard {
  device: string;
  name: string;
  role: string;
  unsent: number;
  last_n: number;
  heard_at: number;
  /** Its session was ended; it may join again. */
  out: boolean;
}

export type Palette = "night" | "day" | "sun";

/** False until the phone's storage is read; nothing but a splash before. */
export const ready = signal(false);
/** null: nobody has joined on this phone. */
export const session = signal<Session | null>(null);
export const bundle = signal<Bundle | null>(null);
/** The night as all known events tell it; null without a bundle. */
export const state = signal<State | null>(null);

/** Events made here (or carried for others) that the server has not answered for. */
export const unsent = signal(0);
export const refused = signal<RefusedEvent[]>([]);
export const notes = signal<Note[]>([]);
export const devices = signal<DeviceHeard[]>([]);
export const link = signal<Link>({
  state: "never",
  heard_at: null,
  next_try: null,
  clock_ahead: null,
});

export const move = signal<Move | null>(null);
export const vehicleId = signal<string | null>(null);
export const lang = signal<string>("en");
export const palette = signal<Palette>("night");
export const voice = signal(false);
export const sound = signal(true);

/** A run of codes being read from another phone's screen; `fresh`: done, so many events were new. */
export const handover = signal<{
  have: number;
  total: number;
  fresh: number | null;
  failed: string | null;
} | null>(null);

/** The latest answers, newest first: several labels in one view each have theirs. */
export const answers = signal<Shown[]>([]);
export const lastAnswer = signal<Shown | null>(null);
/** The stop on the screen: until it is read no scan counts. */
export const heldStop = signal<Shown | null>(null);
/** What was scanned while a stop was on the screen: not booked, and to be scanned again. */
export const behindStop = signal<readonly string[]>([]);
/** What the camera sees now. */
export const sights = signal<Sights | null>(null);
export const trouble = signal<Trouble | null>(null);
/** A newer version waits; offer it between two vehicles only (see `acceptUpdate`). */
export const updateReady = signal(false);
/** Bundle revision that came in while this phone was at work, until `revisionSeen()`. */
export const revisionNews = signal<{ from: number; to: number; moves: PlanMove[] } | null>(null);

export const vehicle = computed<VehicleSheet | null>(
  () => bundle.value?.vehicles.find((sheet) => sheet.id === vehicleId.value) ?? null,
);

/** The move and vehicle that this phone works, as it stands now. */
export const leg = computed<Leg | null>(() => {
  if (!state.value || !move.value || !vehicleId.value) return null;
  return state.value.legs[move.value][vehicleId.value] ?? null;
});
