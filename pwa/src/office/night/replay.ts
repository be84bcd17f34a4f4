/** A past night again, as it stood at any moment of it. */
import type { RowcallEvent } from "../../core/events";
import { fold } from "../../core/fold";
import { milliseconds } from "../../core/marks";
import type { State } from "../../core/state";
import type { Night } from "./live";

const BREAK_MS = 20 * 60_000;

/** Times of the events, the earliest first. */
export function moments(events: readonly RowcallEvent[]): number[] {
  return events.map((event) => milliseconds(event.hlc)).sort((one, other) => one - other);
}

/** The night as its events up to a moment tell it. */
export function stateAt(night: Night, at: number): State {
  const until = night.events.filter((event) => milliseconds(event.hlc) <= at);
  return fold(night.bundle, until, night.arrivals);
}

/**
 * Where the time line stands a moment later: on by `step`, or across a break to just before the next
 * event, since a drive of four hours is nothing to look at.
 */
export function stepOn(times: readonly number[], at: number, step: number): number {
  const next = times.find((time) => time > at);
  if (next === undefined) return times.at(-1) ?? at;
  return next - at > BREAK_MS ? next : at + step;
}
