/** What holds for the whole show: hazards, damage, added cases, phones, where each was last seen. */
import type { Body, RowcallEvent } from "./events";
import { signed } from "./facts";
import { mark, record } from "./marks";
import { gaps } from "./running-numbers";
import type {
  Added,
  Damage,
  DeviceState,
  Hazard,
  Mark,
  Seen,
  Signed,
  Weighed,
  Whereabouts,
} from "./state";

export interface House {
  hazards: Hazard[];
  damaged: Record<string, Damage>;
  added: Record<string, Added>;
  weighed: Record<string, Weighed>;
  last_seen: Record<string, Seen>;
  signed_off: Signed | null;
  closed: Mark | null;
}

export function gatherHouse(events: RowcallEvent[]): House {
  const hazards = new Map<string, Hazard>();
  const sights: Sights = new Map();
  const house: House = {
    hazards: [],
    damaged: record(),
    added: record(),
    weighed: record(),
    last_seen: record(),
    signed_off: null,
    closed: null,
  };
  for (const event of events) {
    const { body } = event;
    saw(sights, event);
    switch (body.kind) {
      case "hazard":
        hazards.set(body.hazard, {
          ...mark(event),
          hazard: body.hazard,
          text: body.text,
          photo: body.photo ?? null,
        });
        break;
      case "hazard_gone":
        hazards.delete(body.hazard);
        break;
      case "damaged":
        house.damaged[body.code] = damage(event, body);
        break;
      case "repaired":
        delete house.damaged[body.code];
        break;
      case "added":
        house.added[body.code] = addedCase(event, body);
        break;
      case "weighed":
        // a guess counts from whoever may answer for it
        if (body.mass_g > 0 && (body.how === "scale" || event.by.role !== "loader"))
          house.weighed[body.code] = {
            ...mark(event),
            code: body.code,
            mass_g: body.mass_g,
            how: body.how,
          };
        break;
      case "signed_off":
        house.signed_off = signed(event, body);
        break;
      case "closed":
        house.closed = mark(event);
        break;
    }
  }
  house.hazards = [...hazards.values()].sort((a, b) => (a.hazard < b.hazard ? -1 : 1));
  for (const [code, sight] of sights) house.last_seen[code] = seen(code, sight);
  return house;
}

function damage(event: RowcallEvent, { code, note, photo }: Body & { kind: "damaged" }): Damage {
  return { ...mark(event), code, note, photo: photo ?? null };
}

function addedCase(event: RowcallEvent, body: Body & { kind: "added" }): Added {
  return {
    ...mark(event),
    code: body.code,
    name: body.name,
    owner: body.owner,
    travels: body.travels,
    length_um: body.length_um ?? null,
    width_um: body.width_um ?? null,
    height_um: body.height_um ?? null,
    mass_g: body.mass_g ?? null,
    photo: body.photo ?? null,
  };
}

/** Latest sight of each case; what the state keeps of it is made once, at the end. */
type Sights = Map<string, { event: RowcallEvent; what: Seen["what"] }>;

function saw(sights: Sights, event: RowcallEvent): void {
  const { body } = event;
  switch (body.kind) {
    case "damaged":
      // found on board: it stands where it stood
      if (sights.get(body.code)?.what === "on") break;
      sights.set(body.code, { event, what: body.kind });
      break;
    case "on":
    case "off":
    case "seen":
      sights.set(body.code, { event, what: body.kind });
      break;
    case "row_photo":
      for (const code of body.codes) sights.set(code, { event, what: "row_photo" });
      break;
  }
}

function seen(code: string, { event, what }: { event: RowcallEvent; what: Seen["what"] }): Seen {
  const { body } = event;
  const read = body.kind === "on" || body.kind === "off" || body.kind === "seen" ? body.read : null;
  return {
    ...mark(event),
    code,
    what,
    where: whereabouts(event, what),
    place: body.kind === "seen" ? body.place : null,
    read: body.kind === "row_photo" ? "row_photo" : read,
  };
}

function whereabouts({ move }: RowcallEvent, what: Seen["what"]): Whereabouts {
  if (what === "seen") return "place";
  if (what === "on" || what === "row_photo") return "vehicle";
  if (what === "off" && move === "put_away") return "home";
  return move === "shop_load" || move === "put_away" ? "shop" : "venue";
}

/** Every phone heard of, by all its events, also voided ones: what its numbers say is missing. */
export function devices(events: RowcallEvent[]): Record<string, DeviceState> {
  const numbers = new Map<string, number[]>();
  const latest = new Map<string, RowcallEvent>();
  for (const event of events) {
    const held = numbers.get(event.device);
    if (held === undefined) numbers.set(event.device, [event.n]);
    else held.push(event.n);
    const newest = latest.get(event.device);
    if (newest === undefined || event.n >= newest.n) latest.set(event.device, event);
  }
  const found = record<DeviceState>();
  const withdrawn = withdrawnNumbers(events);
  for (const device of [...latest.keys()].sort()) {
    const event = latest.get(device);
    if (event === undefined) continue;
    found[device] = {
      device,
      by: event.by.name,
      by_id: event.by.id,
      role: event.by.role,
      last_n: event.n,
      gaps: gaps([...(numbers.get(device) ?? []), ...(withdrawn.get(device) ?? [])], event.n),
      at: event.at,
      hlc: event.hlc,
    };
  }
  return found;
}

function withdrawnNumbers(events: RowcallEvent[]): Map<string, number[]> {
  const found = new Map<string, number[]>();
  for (const { device, body } of events) {
    if (body.kind !== "withdrawn") continue;
    const held = found.get(device);
    if (held === undefined) found.set(device, [...body.numbers]);
    else for (const n of body.numbers) held.push(n);
  }
  return found;
}
