/**
 * What the crew reports: one fact each, made on a phone, never edited, only answered by another.
 *
 * Their order is that of `order.ts`: causes first, then clocks.
 */
import type { Move } from "./bundle";

/** What the crew rolls on before the ramp: dock, rough ground, or grass, gravel and mud. */
export type Floor = "good" | "rough" | "soft";

export type Role = "loader" | "chief" | "owner";
export type Read = "camera" | "photo" | "row_photo" | "wedge" | "typed" | "tap";
export type ExcuseWhy = "left_on_purpose" | "never_came" | "swapped" | "other_vehicle";

export interface Signer {
  role: "chief" | "driver" | "venue";
  name: string;
  signature: string;
}

interface Signing {
  signature: string;
  signers: Signer[];
  digest: string;
  /** Which events stood under `digest`: see record-chain.ts. */
  covers?: Record<string, (number | [number, number])[]>;
}

/**
 * `aim`: where in the aim frame the label lay (across, down) and its size, in thousandths of it.
 * `on.row` null: as planned; a number only where the crew says that it stands in another row.
 * `undone` voids an event of the same device, and nothing brings a voided event back.
 * `withdrawn` names own running numbers that will never come, as the server can never take them.
 * A newer phone may say kinds that this version does not know: they count for nothing.
 */
export type Body =
  | { kind: "on"; code: string; read: Read; row: number | null; why?: string; aim?: number[] }
  | { kind: "off"; code: string; read: Read; why?: string; aim?: number[] }
  | { kind: "strapped"; row: number; count: number; filled: boolean }
  | { kind: "opened"; row: number; why: string }
  | { kind: "took"; row: number }
  | { kind: "answered"; check: string; ok: boolean; note?: string; photo?: string }
  | {
      kind: "excused";
      code: string;
      why: ExcuseWhy;
      custodian?: string;
      collect_by?: string;
      for_code?: string;
      to_vehicle?: string;
      note?: string;
    }
  | { kind: "unexcused"; code: string }
  | {
      kind: "added";
      code: string;
      name: string;
      owner: string;
      travels: boolean;
      length_um?: number;
      width_um?: number;
      height_um?: number;
      mass_g?: number;
      photo?: string;
    }
  | { kind: "weighed"; code: string; mass_g: number; how: "scale" | "guess" }
  | { kind: "damaged"; code: string; note: string; photo?: string }
  | { kind: "repaired"; code: string }
  | { kind: "seen"; code: string; place: string; read: Read }
  | { kind: "hazard"; hazard: string; text: string; photo?: string }
  | { kind: "hazard_gone"; hazard: string }
  | { kind: "hands"; count: number }
  | { kind: "ramp"; rise_um: number; length_um: number; floor: Floor; width_um?: number }
  | { kind: "walked"; stop: string; ok: boolean; note?: string }
  | { kind: "row_photo"; row: number; photo: string; codes: string[] }
  | { kind: "unsent_known"; devices: string[]; note: string }
  | { kind: "overridden"; gate: string; why: string }
  | ({ kind: "released" } & Signing)
  | { kind: "recalled"; why: string }
  | ({ kind: "signed_off" } & Signing)
  | { kind: "closed" }
  | { kind: "undone"; event: string }
  | { kind: "withdrawn"; numbers: number[] };

export type Kind = Body["kind"];

export interface RowcallEvent {
  v: 1;
  id: string;
  show: string;
  move: Move;
  vehicle: string | null;
  device: string;
  n: number;
  by: { id: string; name: string; role: Role };
  at: number;
  hlc: string;
  revision: number;
  body: Body;
  /** The last fact that this phone had read from the server. */
  after?: string;
  sig?: string;
}

/** Only the chief (or the owner) may say these; from anyone else they count for nothing. */
const CHIEF_KINDS: ReadonlySet<Kind> = new Set<Kind>([
  "excused",
  "unexcused",
  "unsent_known",
  "overridden",
  "released",
  "recalled",
  "signed_off",
]);

/** Gates that the chief may override by name, with a reason; row gates also as `straps:3`. */
export function overridable(gate: string): boolean {
  return ["slack", "straps", "mass"].includes(gate) || /^(checks|plate):/.test(gate);
}

/** Order of the record: by hybrid clock, then id. */
export function before(a: { hlc: string; id: string }, b: { hlc: string; id: string }): number {
  if (a.hlc !== b.hlc) return a.hlc < b.hlc ? -1 : 1;
  return a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
}

/** Each event once, by its clock. Of two with one id (a broken phone) the lower stays. */
export function unique(events: Iterable<RowcallEvent>): RowcallEvent[] {
  const once = new Map<string, RowcallEvent>();
  for (const event of events) {
    const held = once.get(event.id);
    if (held === undefined || `${event.hlc}${event.n}` < `${held.hlc}${held.n}`)
      once.set(event.id, event);
  }
  return [...once.values()].sort(before);
}

/** Without voided events and without those that the speaker may not say. */
export function standing(events: RowcallEvent[]): RowcallEvent[] {
  const devices = new Map(events.map(({ id, device }) => [id, device]));
  const voided = new Set<string>();
  for (const { device, body } of events)
    if (body.kind === "undone" && devices.get(body.event) === device) voided.add(body.event);
  return events.filter(
    ({ id, by, body }) =>
      body.kind === "undone" ||
      !(voided.has(id) || (by.role === "loader" && CHIEF_KINDS.has(body.kind))),
  );
}
