/**
 * An event from outside (another phone's codes, a file): the same checks as the server's
 * `core/events.py`. What is broken is refused by place; a kind of a later version is kept.
 */
import { MOVES } from "./bundle";
import type { Kind, RowcallEvent } from "./events";

/** An event that can never be taken; the message names place and expectation. */
export class BadEvent extends Error {
  readonly place: string;
  constructor(place: string, expected: string, got: unknown) {
    const said = typeof got === "string" ? got.slice(0, 60) : typeof got;
    super(`${place}: expected ${expected}, got ${said}`);
    this.name = "BadEvent";
    this.place = place;
  }
}

type Json = Record<string, unknown>;
/** Says what is expected where a value is not that, null where it is. */
type Take = (value: unknown, place: string) => void;

const HLC = /^[0-9]{13}-[0-9]{5}-[!-~]{1,64}$/;
const TEXT_MOST = 4_000;
const DRAWING_MOST = 60_000;
const LIST_MOST = 1_000;
const SIGNERS_MOST = 10;

function textOf(most: number): Take {
  return (value, place) => {
    // by characters, as the server counts
    if (typeof value !== "string" || (value.length > most && [...value].length > most))
      throw new BadEvent(place, `text of at most ${most} characters`, value);
  };
}

const text = textOf(TEXT_MOST);

const whole: Take = (value, place) => {
  if (!Number.isSafeInteger(value) || (value as number) < 0)
    throw new BadEvent(place, "a whole number of zero or more", value);
};

const truth: Take = (value, place) => {
  if (typeof value !== "boolean") throw new BadEvent(place, "true or false", value);
};

function oneOf(...words: string[]): Take {
  return (value, place) => {
    if (typeof value !== "string" || !words.includes(value))
      throw new BadEvent(place, `one of ${words.join(", ")}`, value);
  };
}

function listOf(take: Take, most = LIST_MOST): Take {
  return (value, place) => {
    if (!Array.isArray(value) || value.length > most)
      throw new BadEvent(place, `a list of at most ${most}`, value);
    value.forEach((one, index) => take(one, `${place}.${index}`));
  };
}

function maybe(take: Take): Take {
  return (value, place) => {
    if (value !== undefined && value !== null) take(value, place);
  };
}

function object(value: unknown, place: string): Json {
  if (typeof value !== "object" || value === null || Array.isArray(value))
    throw new BadEvent(place, "an object", value);
  return value as Json;
}

const signer: Take = (value, place) => {
  const one = object(value, place);
  oneOf("chief", "driver", "venue")(one["role"], `${place}.role`);
  text(one["name"], `${place}.name`);
  textOf(DRAWING_MOST)(one["signature"], `${place}.signature`);
};

const read = oneOf("camera", "photo", "row_photo", "wedge", "typed", "tap");
const note = maybe(text);
const measure = maybe(whole);
const aim = maybe(listOf(whole));
const signing = {
  signature: textOf(DRAWING_MOST),
  signers: listOf(signer, SIGNERS_MOST),
  digest: text,
};

const BODIES: Record<Kind, Record<string, Take>> = {
  on: { code: text, read, row: measure, why: note, aim },
  off: { code: text, read, why: note, aim },
  strapped: { row: whole, count: whole, filled: truth },
  opened: { row: whole, why: text },
  took: { row: whole },
  answered: { check: text, ok: truth, note, photo: note },
  excused: {
    code: text,
    why: oneOf("left_on_purpose", "never_came", "swapped", "other_vehicle"),
    custodian: note,
    collect_by: note,
    for_code: note,
    to_vehicle: note,
    note,
  },
  unexcused: { code: text },
  added: {
    code: text,
    name: text,
    owner: text,
    travels: truth,
    length_um: measure,
    width_um: measure,
    height_um: measure,
    mass_g: measure,
    photo: note,
  },
  weighed: { code: text, mass_g: whole, how: oneOf("scale", "guess") },
  damaged: { code: text, note: text, photo: note },
  repaired: { code: text },
  seen: { code: text, place: text, read },
  hazard: { hazard: text, text, photo: note },
  hazard_gone: { hazard: text },
  hands: { count: whole },
  ramp: {
    rise_um: whole,
    length_um: whole,
    floor: oneOf("good", "rough", "soft"),
    width_um: measure,
  },
  walked: { stop: text, ok: truth, note },
  row_photo: { row: whole, photo: text, codes: listOf(text) },
  unsent_known: { devices: listOf(text), note: text },
  overridden: { gate: text, why: text },
  released: signing,
  recalled: { why: text },
  signed_off: signing,
  closed: {},
  undone: { event: text },
  withdrawn: { numbers: listOf(whole) },
};

const ENVELOPE: Record<string, Take> = {
  id: text,
  show: text,
  move: oneOf(...MOVES),
  vehicle: maybe(text),
  device: text,
  n: whole,
  at: whole,
  hlc: text,
  revision: whole,
  after: note,
};

const PERSON: Record<string, Take> = {
  id: text,
  name: text,
  role: oneOf("loader", "chief", "owner"),
};

function takeAll(value: Json, fields: Record<string, Take>, place: string): void {
  for (const [key, take] of Object.entries(fields)) take(value[key], `${place}.${key}`);
}

/** The event, or BadEvent. */
export function readEvent(value: unknown, place = "event"): RowcallEvent {
  const event = object(value, place);
  if (event["v"] !== 1) throw new BadEvent(`${place}.v`, "1", event["v"]);
  takeAll(event, ENVELOPE, place);
  if (event["n"] === 0) throw new BadEvent(`${place}.n`, "a running number from 1", 0);
  if (!HLC.test(event["hlc"] as string))
    throw new BadEvent(`${place}.hlc`, "13 digits, 5 digits and a device", event["hlc"]);
  takeAll(object(event["by"], `${place}.by`), PERSON, `${place}.by`);
  const body = object(event["body"], `${place}.body`);
  text(body["kind"], `${place}.body.kind`);
  const kind = body["kind"] as Kind;
  if (Object.hasOwn(BODIES, kind)) takeAll(body, BODIES[kind], `${place}.body`);
  return value as RowcallEvent;
}
