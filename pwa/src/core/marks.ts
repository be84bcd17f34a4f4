/** Who said it, when and how: the part of an event that the state keeps. */
import type { Body, RowcallEvent } from "./events";
import type { CaseMark, Excuse, Mark } from "./state";

export function mark(event: RowcallEvent): Mark {
  return {
    event: event.id,
    move: event.move,
    vehicle: event.vehicle,
    device: event.device,
    by: event.by.name,
    by_id: event.by.id,
    role: event.by.role,
    at: event.at,
    hlc: event.hlc,
  };
}

export function caseMark(event: RowcallEvent, row: number | null): CaseMark {
  const { body } = event;
  if (body.kind !== "on" && body.kind !== "off")
    throw new Error(`expected on or off, got ${body.kind}`);
  // written out: a night makes thousands of these, and spreading costs twice as much
  return {
    event: event.id,
    move: event.move,
    vehicle: event.vehicle,
    device: event.device,
    by: event.by.name,
    by_id: event.by.id,
    role: event.by.role,
    at: event.at,
    hlc: event.hlc,
    did: body.kind,
    row,
    read: body.read,
    why: body.why ?? null,
  };
}

export function excuse(event: RowcallEvent, body: Body & { kind: "excused" }): Excuse {
  return {
    ...mark(event),
    code: body.code,
    why: body.why,
    custodian: body.custodian ?? null,
    collect_by: body.collect_by ?? null,
    for_code: body.for_code ?? null,
    to_vehicle: body.to_vehicle ?? null,
    note: body.note ?? null,
  };
}

/** A record without a prototype: a code may be any text, also `constructor`. */
export function record<T>(entries: Iterable<readonly [string, T]> = []): Record<string, T> {
  const made = Object.create(null) as Record<string, T>;
  for (const [key, value] of entries) made[key] = value;
  return made;
}

/** Milliseconds of the hybrid clock. */
export function milliseconds(hlc: string): number {
  return Number(hlc.slice(0, 13));
}
