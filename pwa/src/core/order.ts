/**
 * Order of facts: what its author knew comes first, clocks decide between the rest.
 *
 * - A fact names in `after` the last fact that its phone had read from the server. It comes after
 *   that one and after all that the server had stored before (happened-before: Lamport, "Time,
 *   Clocks, and the Ordering of Events in a Distributed System", CACM 21(7), 1978). So an answer
 *   always beats what it answers, whatever any clock says. A claim to know what arrived later than
 *   the fact itself is no claim: the order of arrival holds no circle.
 * - The facts of one phone keep the order of its running numbers, even if its clock goes back.
 * - Between facts that did not know of each other the clocks decide (hlc, then id). A clock counts
 *   up to TOLERANCE_MS beyond the time at which the server received the fact; a later fact received
 *   earlier by more than that shows that the server's own clock was ahead: its time bounds.
 *
 * The events returned carry the clock as it counts here: it never falls from one to the next. The
 * server does the same in `core/night/order.py`.
 */
import type { RowcallEvent } from "./events";

/** The server's running number of a fact, and its time when it stored it. */
export interface Arrival {
  seq: number;
  at: number;
}

export type Arrivals = ReadonlyMap<string, Arrival>;

export const NONE_ARRIVED: Arrivals = new Map();
const TOLERANCE_MS = 60_000;
const MOST_MS = 10 ** 13 - 1;
const MOST_COUNT = 99_999;

/** The clock as it counts, the phone's own reading, the id. */
type Key = readonly [string, string, string];
type Keys = Map<string, Key>;

/** Events, each of another id, in the order of facts. */
export function inOrder(events: RowcallEvent[], arrivals: Arrivals): RowcallEvent[] {
  const keys = keysOf(events, arrivals);
  const byKey = (a: RowcallEvent, b: RowcallEvent) => compare(keyOf(keys, a), keyOf(keys, b));
  const plain = [...events].sort(byKey);
  const arrived = inArrival(plain, arrivals);
  const place = new Map(arrived.map(({ id }, index) => [id, index]));
  const needs = new Map(events.map((event) => [event.id, needed(event, place)]));
  const causal = isCausal(plain, arrived, needs);
  return rising(causal ? plain : new Merge(plain, keys, arrived, needs).all(), keys);
}

function hlcOf(ms: number, count: number, rest: string): string {
  return `${String(ms).padStart(13, "0")}-${String(count).padStart(5, "0")}${rest}`;
}

function compare(a: Key, b: Key): number {
  for (const at of [0, 1, 2] as const) if (a[at] !== b[at]) return a[at] < b[at] ? -1 : 1;
  return 0;
}

function keyOf(keys: Keys, { id, hlc }: RowcallEvent): Key {
  return keys.get(id) ?? [hlc, hlc, id];
}

function inArrival(events: RowcallEvent[], arrivals: Arrivals): RowcallEvent[] {
  const seq = ({ id }: RowcallEvent) => arrivals.get(id)?.seq ?? 0;
  const byId = (a: RowcallEvent, b: RowcallEvent) => (a.id < b.id ? -1 : 1);
  return events.filter(({ id }) => arrivals.has(id)).sort((a, b) => seq(a) - seq(b) || byId(a, b));
}

function keysOf(events: RowcallEvent[], arrivals: Arrivals): Keys {
  const bounds = boundsOf(events, arrivals);
  return new Map(
    events.map(({ id, hlc }) => {
      const bound = bounds.get(id);
      const late = bound !== undefined && Number(hlc.slice(0, 13)) > bound;
      const counts = late ? `${String(bound).padStart(13, "0")}${hlc.slice(13)}` : hlc;
      return [id, [counts, hlc, id]];
    }),
  );
}

/** Of each fact that arrived the latest time that its clock may count for. */
function boundsOf(events: RowcallEvent[], arrivals: Arrivals): Map<string, number> {
  const bounds = new Map<string, number>();
  let latest = MOST_MS;
  for (const { id } of inArrival(events, arrivals).reverse()) {
    const at = arrivals.get(id)?.at ?? MOST_MS;
    bounds.set(id, latest + TOLERANCE_MS < at ? latest : at + TOLERANCE_MS);
    latest = Math.min(latest, at);
  }
  return bounds;
}

/** How many of the first facts to arrive the author of this one knew. */
function needed({ id, after }: RowcallEvent, place: Map<string, number>): number {
  const known = after === undefined ? undefined : place.get(after);
  if (known === undefined || known >= (place.get(id) ?? Infinity)) return 0;
  return known + 1;
}

/** Whether the order by clocks alone already puts causes first. */
function isCausal(
  plain: RowcallEvent[],
  arrived: RowcallEvent[],
  needs: Map<string, number>,
): boolean {
  const numbers = new Map<string, number>();
  const done = new Set<string>();
  let known = 0;
  for (const { id, device, n } of plain) {
    if (n < (numbers.get(device) ?? 0) || (needs.get(id) ?? 0) > known) return false;
    numbers.set(device, n);
    done.add(id);
    while (known < arrived.length && done.has(arrived[known]?.id ?? "")) known += 1;
  }
  return true;
}

/** Takes the earliest fact of any phone whose causes are all there, again and again. */
class Merge {
  private known = 0;
  private readonly done = new Set<string>();
  private readonly lines = new Map<string, RowcallEvent[]>();
  private readonly ready = new Set<string>();
  private readonly waiting = new Map<number, string[]>();

  constructor(
    private readonly plain: RowcallEvent[],
    private readonly keys: Keys,
    private readonly arrived: RowcallEvent[],
    private readonly needs: Map<string, number>,
  ) {}

  all(): RowcallEvent[] {
    const byNumber = (a: RowcallEvent, b: RowcallEvent) =>
      b.n - a.n || compare(keyOf(this.keys, b), keyOf(this.keys, a));
    // latest first, so that the next one is taken off the end
    for (const event of [...this.plain].sort(byNumber)) {
      const line = this.lines.get(event.device);
      if (line === undefined) this.lines.set(event.device, [event]);
      else line.push(event);
    }
    for (const device of this.lines.keys()) this.offer(device);
    return this.plain.map(() => this.next());
  }

  /** Offer the next fact of a phone, now or when what it knew is there. */
  private offer(device: string): void {
    const first = this.first(device);
    if (first === undefined) return;
    const need = this.needs.get(first.id) ?? 0;
    if (need <= this.known) this.ready.add(device);
    else this.waiting.set(need, [...(this.waiting.get(need) ?? []), device]);
  }

  private first(device: string): RowcallEvent | undefined {
    const line = this.lines.get(device) ?? [];
    while (this.done.has(line.at(-1)?.id ?? "")) line.pop();
    return line.at(-1);
  }

  private next(): RowcallEvent {
    const found = this.earliest();
    if (found !== null) {
      this.ready.delete(found.device);
      this.take(found);
      this.offer(found.device);
      return found;
    }
    // a phone that claims to have known what only followed its own later numbers
    const event = this.arrived[this.known];
    if (event === undefined) throw new Error("order: expected a fact whose causes are there");
    this.take(event);
    return event;
  }

  private earliest(): RowcallEvent | null {
    let best: RowcallEvent | null = null;
    for (const device of this.ready) {
      const event = this.first(device);
      if (event === undefined) continue;
      if (best === null || compare(keyOf(this.keys, event), keyOf(this.keys, best)) < 0)
        best = event;
    }
    return best;
  }

  private take({ id }: RowcallEvent): void {
    this.done.add(id);
    while (this.done.has(this.arrived[this.known]?.id ?? "")) {
      this.known += 1;
      const waited = this.waiting.get(this.known) ?? [];
      this.waiting.delete(this.known);
      for (const device of waited) this.offer(device);
    }
  }
}

/** Facts with clocks that never fall along the order. */
function rising(order: RowcallEvent[], keys: Keys): RowcallEvent[] {
  let [last, lastId] = ["", ""];
  return order.map((event) => {
    let [hlc] = keyOf(keys, event);
    if (hlc < last || (hlc === last && event.id < lastId)) {
      let ms = Number(last.slice(0, 13));
      let count = Number(last.slice(14, 19)) + 1;
      if (count > MOST_COUNT) [ms, count] = [Math.min(ms + 1, MOST_MS), 0];
      hlc = hlcOf(ms, count, event.hlc.slice(19));
    }
    [last, lastId] = [hlc, event.id];
    return hlc === event.hlc ? event : { ...event, hlc };
  });
}
