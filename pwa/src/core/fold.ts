/** The fold: bundle and set of events in, state of the night out. Repeats are nothing. */
import { MOVES, type Bundle, type Move } from "./bundle";
import { contradictions } from "./contradictions";
import { beforeOpen, checklist, gatherAnswers, walk, type Answers } from "./checklist";
import { dueByMove } from "./due";
import { standing, unique, type RowcallEvent } from "./events";
import { gather, type LegFacts } from "./facts";
import { devices, gatherHouse } from "./house";
import { notBack, putAway } from "./put-away";
import { inOrder, NONE_ARRIVED, type Arrivals } from "./order";
import { heldReasons, type Gates } from "./release";
import { Sheets } from "./sheets";
import { signoffHeld } from "./signoff";
import type { DeviceState, Leg, State } from "./state";
import { milliseconds } from "./marks";
import { tally, type LegInput, type Tally } from "./tally";
import { axleLoads, Masses } from "./weight";

export function fold(
  bundle: Bundle,
  events: Iterable<RowcallEvent>,
  arrivals: Arrivals = NONE_ARRIVED,
): State {
  const all = inOrder(unique(events), arrivals);
  const said = standing(all);
  const sheets = new Sheets(bundle, said);
  const facts = gather(bundle, sheets, said);
  const house = gatherHouse(said);
  const masses = new Masses(bundle, house.added, house.weighed);
  const phones = devices(all);
  const answers = gatherAnswers(bundle, said);
  const due = dueByMove(bundle, facts, house.added);
  const legs = byMove((move) => {
    const found: Record<string, Leg> = {};
    for (const sheet of bundle.vehicles) {
      const leg = facts[move].legs.get(sheet.id);
      if (leg === undefined) continue;
      const input = { bundle, sheets, move, sheet, facts: facts[move], leg, due: due[move] };
      found[sheet.id] = legState({ ...input, added: house.added, masses }, answers, phones);
    }
    return found;
  });
  const stops = walk(bundle, said);
  const home = once(() => putAway(bundle, house, legs.put_away));
  const against = once(() => contradictions(bundle, { legs, ...house }));
  const gone = once(() => notBack(legs));
  const held = once(() => signoffHeld(legsInOrder(bundle, legs.load_out), stops));
  return {
    legs,
    walk: stops,
    ...house,
    devices: phones,
    get contradictions() {
      return against();
    },
    get put_away() {
      return home();
    },
    get not_back() {
      return gone();
    },
    get signoff_held() {
      return held();
    },
  };
}

/** Worked out when first asked for: a scan at one vehicle needs one move, not all four. */
function once<T>(make: () => T): () => T {
  let made: { value: T } | null = null;
  return () => (made ??= { value: make() }).value;
}

function byMove(make: (move: Move) => Record<string, Leg>): State["legs"] {
  const legs = {} as State["legs"];
  for (const move of MOVES)
    Object.defineProperty(legs, move, { enumerable: true, get: once(() => make(move)) });
  return legs;
}

function legsInOrder({ vehicles }: Bundle, legs: Record<string, Leg>): Leg[] {
  return vehicles.flatMap(({ id }) => legs[id] ?? []);
}

function legState(input: LegInput, answers: Answers, phones: Record<string, DeviceState>): Leg {
  const { bundle, sheets, move, sheet, leg, masses } = input;
  const counted = tally(input);
  const { row_of, on } = counted;
  const moments = times(counted);
  const checks = checklist(bundle, answers, move, sheet.id);
  const load = on.map((code) => ({ code, ...masses.of(code) }));
  const gates: Gates = {
    move,
    vehicle: sheet.id,
    ...counted,
    checks,
    before_open: moments.first_at === null ? beforeOpen(bundle, checks, move) : [],
    hands: leg.hands,
    ramp: leg.ramp,
    mass_g: load.reduce((sum, { high }) => sum + high, 0),
    least_mass_g: load.reduce((sum, { low }) => sum + low, 0),
    unweighed: load
      .filter(({ known }) => !known)
      .map(({ code }) => code)
      .sort(),
    axles: sheet.axles === null ? null : axleLoads(sheet.axles, sheets, sheet.id, row_of, masses),
    overridden: [...leg.overridden.values()].sort((a, b) => (a.gate < b.gate ? -1 : 1)),
    unsent_known: [...leg.unsent_known].sort(),
    ...signing(leg),
    ...moments,
  };
  const gaps = Object.values(phones).filter((phone) => phone.gaps.length > 0);
  return {
    ...gates,
    held: heldReasons(sheet, gates, gaps.map(({ device }) => device).sort()),
  };
}

function signing(leg: LegFacts) {
  const { released, recalled } = leg;
  const changed = released !== null && [...leg.marks.values()].some((m) => m.hlc > released.hlc);
  return { released, recalled, changed_since_release: changed };
}

function times({ due, marks, on }: Tally) {
  const here = new Set([...due, ...on]);
  const done = Object.entries(marks)
    .filter(([code, { did, move }]) => here.has(code) && did === doneBy(move))
    .map(([, { hlc }]) => milliseconds(hlc));
  if (done.length === 0) return { first_at: null, last_at: null };
  return { first_at: Math.min(...done), last_at: Math.max(...done) };
}

function doneBy(move: string): "on" | "off" {
  return move === "shop_load" || move === "load_out" ? "on" : "off";
}
