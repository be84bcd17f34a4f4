/** Which label is aimed at: only one inside the drawn frame counts, however much the camera sees. */
import type { Hit, Region, Size } from "./hits";

/** The part of a picture that an element shows which the picture covers (CSS `object-fit: cover`). */
export function shownPart(picture: Size, view: Size): Region {
  if (picture.width <= 0 || picture.height <= 0 || view.width <= 0 || view.height <= 0)
    return { x: 0, y: 0, width: 1, height: 1 };
  const scale = Math.max(view.width / picture.width, view.height / picture.height);
  const width = Math.min(1, view.width / scale / picture.width);
  const height = Math.min(1, view.height / scale / picture.height);
  return { x: (1 - width) / 2, y: (1 - height) / 2, width, height };
}

/** A rectangle of the view, as shares of the whole picture. */
export function inPicture(shown: Region, view: Region): Region {
  return {
    x: shown.x + view.x * shown.width,
    y: shown.y + view.y * shown.height,
    width: view.width * shown.width,
    height: view.height * shown.height,
  };
}

/** A region with a margin on every side, as far as the picture reaches. */
export function widened({ x, y, width, height }: Region, by: number): Region {
  const [left, top] = [Math.max(0, x - width * by), Math.max(0, y - height * by)];
  const right = Math.min(1, x + width * (1 + by));
  const bottom = Math.min(1, y + height * (1 + by));
  return { x: left, y: top, width: right - left, height: bottom - top };
}

/** Middle of a label, in the frame's own measure: 0, 0 is its centre and 1 its edge. */
function off(hit: Hit, frame: Region): { far: number; middle: boolean; inside: boolean } {
  const mean = (at: 0 | 1) => hit.box.reduce((sum, point) => sum + (point[at] ?? 0), 0) / 4;
  const x = Math.abs(((mean(0) - frame.x) / frame.width) * 2 - 1);
  const y = Math.abs(((mean(1) - frame.y) / frame.height) * 2 - 1);
  return { far: Math.hypot(x, y), middle: Math.max(x, y) <= CORE, inside: Math.max(x, y) <= 1 };
}

/** In the middle part of the frame the case that is next counts at its first sight. */
const CORE = 0.6;
/** Anything else is looked at again for so long, so that a label passed over does not count. */
const SECOND_LOOK_MS = 300;
/** A look without the label, up to so long, does not end its being aimed at. */
const LOST_MS = 450;
/** Two looks further apart than this are two sights: the phone was put away in between. */
const SLOWEST_MS = 1_500;
/** What is no case of ours (a maker's sticker, a poster) is answered only when held for so long... */
const UNKNOWN_LOOK_MS = 1_000;
/** ...and not at all while a case was in view within so long. */
const KNOWN_MS = 2_000;
/** Two labels as near as this to the centre, in half frames: nobody can tell which one is meant. */
export const TOO_CLOSE = 0.3;

export interface Aimed {
  /** The label that counts now. */
  take: Hit | null;
  /** Labels between which a tap decides. */
  choose: string[];
  /** Labels seen where nobody aims. */
  outside: string[];
}

interface Track {
  since: number;
  last: number;
  looks: number;
}

/** What is known of a text that was seen. */
interface Judge {
  /** It is the case that is next, so that no second look is needed. */
  next: (text: string) => boolean;
  /** It is a case of the fleet or of this night. */
  known: (text: string) => boolean;
}

/** Decides look by look; holds nothing but times. */
export class Aim {
  private known_at = -Infinity;
  private looked_at = -Infinity;
  /** A phone so slow that one look takes longer than `LOST_MS` loses nothing between two looks. */
  private lost_ms = LOST_MS;
  private readonly seen = new Map<string, number>();
  private readonly done = new Set<string>();
  private aimed: ({ text: string } & Track) | null = null;
  private unsure: Track | null = null;

  /** `gone_ms`: how long a label must be out of view before it counts anew. */
  constructor(private readonly gone_ms = 3_000) {}

  look(hits: readonly Hit[], now: number, frame: Region, { next, known }: Judge): Aimed {
    this.forgetGone(now);
    this.lost_ms = Math.max(LOST_MS, Math.min(now - this.looked_at, SLOWEST_MS));
    this.looked_at = now;
    const labels = nearestFirst(hits, frame);
    for (const { hit } of labels) this.seen.set(hit.text, now);
    if (labels.some(({ hit }) => known(hit.text))) this.known_at = now;
    const quiet = now - this.known_at < KNOWN_MS;
    const counts = (one: (typeof labels)[0]) => one.inside && (!quiet || known(one.hit.text));
    const inside = labels.filter(counts);
    const outside = labels.filter((one) => !counts(one)).map(({ hit }) => hit.text);
    const nothing = { take: null, choose: [], outside };
    const [first, second] = inside;
    // a label that counted already still holds the centre: what lies beside it is not aimed at
    if (!first || this.done.has(first.hit.text)) return nothing;
    if (second && second.far - first.far < TOO_CLOSE) {
      this.aimed = null;
      this.unsure = held(this.unsure, now, this.lost_ms);
      const choose = inside.map(({ hit }) => hit.text).filter((text) => !this.done.has(text));
      return { ...nothing, choose: looked(this.unsure, now) ? choose : [] };
    }
    this.unsure = null;
    const { text } = first.hit;
    const before = this.aimed?.text === text ? this.aimed : null;
    this.aimed = { text, ...held(before, now, this.lost_ms) };
    const least = known(text) ? SECOND_LOOK_MS : UNKNOWN_LOOK_MS;
    if (!looked(this.aimed, now, least) && !(first.middle && next(text))) return nothing;
    this.done.add(text);
    return { ...nothing, take: first.hit };
  }

  /** Chosen by a tap: it counts already. */
  chosen(text: string, now: number): void {
    this.seen.set(text, now);
    this.done.add(text);
  }

  /** What was seen could not be kept: the next sight counts as the first. */
  forget(text: string): void {
    this.done.delete(text);
    if (this.aimed?.text === text) this.aimed = null;
  }

  private forgetGone(now: number): void {
    for (const [text, last] of this.seen) {
      if (now - last <= this.gone_ms) continue;
      this.seen.delete(text);
      this.done.delete(text);
    }
  }
}

function held(before: Track | null, now: number, lost_ms: number): Track {
  if (before === null || now - before.last > lost_ms) return { since: now, last: now, looks: 1 };
  return { since: before.since, last: now, looks: before.looks + 1 };
}

const looked = ({ since, last, looks }: Track, now: number, least = SECOND_LOOK_MS): boolean =>
  last === now && looks >= 2 && now - since >= least;

/** Each text once, at its place nearest to the centre: a case may carry two labels of one code. */
export function nearestFirst(hits: readonly Hit[], frame: Region) {
  const all = hits.map((hit) => ({ hit, ...off(hit, frame) })).sort((a, b) => a.far - b.far);
  return all.filter((one, at) => all.findIndex(({ hit }) => hit.text === one.hit.text) === at);
}

/** Where in the frame a label lay and how large: thousandths of the frame, for the record. */
export function lay(hit: Hit, frame: Region): number[] {
  const xs = hit.box.map((point) => ((point[0] ?? 0) - frame.x) / frame.width);
  const ys = hit.box.map((point) => ((point[1] ?? 0) - frame.y) / frame.height);
  const middle = (all: number[]) => (Math.min(...all) + Math.max(...all)) / 2;
  const size = Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
  return [middle(xs), middle(ys), size].map((one) => Math.max(0, Math.round(one * 1000)));
}
