/** From a label that was read to the answer on the screen: one at a time, safe before shown. */
import { batch } from "@preact/signals";
import { isLoading } from "../core/facts";
import { FRAME_HEAD } from "../core/frame-head";
import { accept, acceptTyped } from "../core/case-code";
import type { Body, Read } from "../core/events";
import { feel } from "./feedback";
import { Aim, lay } from "../scan/aim";
import { seeEveryKind } from "../scan/decoder";
import type { Hit, Look, Regions } from "../scan/hits";
import { answerTo, type Answer } from "./answering";
import { anyTags, known } from "./known";
import { painted } from "./painted";
import { report } from "./report";
import {
  answers,
  behindStop,
  bundle,
  heldStop,
  lastAnswer,
  move,
  session,
  sights,
  state,
  vehicleId,
  type Shown,
} from "./signals";

const UNDO_MS = 10_000;
const REMEMBERED = 20;

const aim = new Aim();
/** So many pictures in a row must be bad before the screen says so. */
const BAD_LOOKS = 3;
let bad = 0;
let line: Promise<unknown> = Promise.resolve();

/** Where in the aim frame a label lay, in thousandths of it; by tap the reason, for the record. */
interface How {
  why?: string;
  aim?: number[];
}

const isFrame = (text: string): boolean => text.startsWith(FRAME_HEAD);

/** Another phone's codes are rare on this path: what reads them is loaded with the first. */
async function collectFrame(text: string): Promise<void> {
  await (await import("./collect")).collectFrame(text);
}

let catcher: ((text: string) => void) | null = null;
let catchesAll = false;

/** A screen that asks for a code takes the scans meanwhile: none of them is booked.
 *
 * `every`: it asks for a tag that nobody knows yet, of whatever kind.
 */
export function catchScans(take: ((text: string) => void) | null, every = false): void {
  catcher = take;
  catchesAll = every;
  seeEveryKind(every || anyTags());
}

const ANY = { next: () => false, known: () => true };

/** Answer a text; a right case is recorded at once, anything else is only answered. */
export function scan(text: string, read: Read, how: How = {}): Promise<Shown | null> {
  const done = line.then(() => take(text, read, how));
  line = done.catch(() => undefined);
  return done;
}

/** A picture of the camera: the label that is aimed at counts, all others are only drawn. */
export function sighted({ hits, quality, wide }: Look, regions: Regions): void {
  const now = performance.now();
  const labels = hits.filter(({ text }) => !isFrame(text));
  const own = catchesAll ? labels : labels.map(asCase).filter(mayCount);
  for (const { text } of hits) if (isFrame(text)) void collectFrame(text);
  // behind a stop nothing counts, and nothing is remembered as seen: it counts once that is read
  if (heldStop.value) return;
  const aimed = aim.look(own, now, regions.aim, catchesAll ? ANY : { next: isNext, known: isOwn });
  if (!wide) bad = quality === "good" ? 0 : bad + 1;
  sights.value = {
    hits: own,
    shown: regions.shown,
    taken: aimed.take?.text ?? null,
    outside: aimed.outside,
    choose: aimed.choose,
    quality: bad >= BAD_LOOKS ? quality : "good",
  };
  if (aimed.take) void scanSeen(aimed.take, lay(aimed.take, regions.aim));
}

/** Only frames of a hand-over count here: a case's label in the picture is no scan. */
export function collectSeen({ hits }: Look): void {
  for (const { text } of hits) if (isFrame(text)) void collectFrame(text);
}

/** One of several labels in the frame, chosen by a tap. */
export function chooseSeen(text: string): void {
  aim.chosen(text, performance.now());
  void scan(text, "camera");
}

async function scanSeen({ text }: Hit, at: number[]): Promise<void> {
  if (!(await scan(text, "camera", { aim: at }))) aim.forget(text);
}

/** The stop on the screen has been read: scans count again. */
export function stopRead(): void {
  heldStop.value = null;
  behindStop.value = [];
}

/** Whether a typed text means one case. */
const isCase = (text: string): boolean => acceptTyped(text, known).ok;

/** Whether a text that was read is the code of a case. */
const isOwn = (text: string): boolean => accept(text, known).ok;

/** Kinds of codes that our labels never have count only as known tags: all else is noise. */
const mayCount = ({ text, foreign }: Hit): boolean => !foreign || isOwn(text);

/** A label named by its case, however its text says it: two labels of one case are one. */
function asCase(hit: Hit): Hit {
  const read = accept(hit.text, known);
  return read.ok ? { ...hit, text: read.code } : hit;
}

/** Take the bursts of a scanner that types, on every screen; nobody waits for it at the start. */
export function listenForScanner(): void {
  import("../scan/wedge").then(
    ({ listenForWedge }) => listenForWedge((text) => void scan(text, "wedge"), isCase),
    () => setTimeout(listenForScanner, 5_000),
  );
}

/** What a text would be answered now; null before anything is chosen. */
function judge(text: string, read: Read): Answer | null {
  const [sheet, now, at, vehicle] = [bundle.value, state.value, move.value, vehicleId.value];
  if (!sheet || !now || !at || !vehicle) return null;
  const exact = read === "typed" || read === "wedge" ? acceptTyped : accept;
  const device = session.value?.device ?? "";
  return answerTo(sheet, now, { move: at, vehicle, device }, exact(text, known));
}

function isNext(text: string): boolean {
  const answer = judge(text, "camera");
  return answer?.kind === "right" && answer.reopens === null;
}

async function take(text: string, read: Read, how: How): Promise<Shown | null> {
  if (catcher) {
    catcher(text);
    return null;
  }
  const answer = judge(text, read);
  if (!answer) return null;
  if (heldStop.value) {
    behindStop.value = [...new Set([...behindStop.value, answer.code])];
    feel("unknown");
    return null;
  }
  const body = recorded(answer, read, how);
  if (!body) return show(answer, read, null);
  let shown: Shown | null = null;
  // shown in the moment in which it is safe; what it changes is worked out behind the answer
  await report(body, {}, ({ id }) => {
    shown = show(answer, read, id);
  });
  // not safe, so not taken: the hand must feel that, and the words stand above every screen
  if (!shown) feel("unknown");
  return shown;
}

function show(answer: Answer, read: Read, event: string | null): Shown {
  const at = Date.now();
  const shown: Shown = { answer, read, event, at, undo_until: event ? at + UNDO_MS : null };
  batch(() => {
    lastAnswer.value = shown;
    if (answer.kind === "other_vehicle") heldStop.value = shown;
    answers.value = [shown, ...answers.value].slice(0, REMEMBERED);
  });
  void painted().then(() => feel(answer.kind));
  return shown;
}

/** The event that a scan makes by itself; by tap it needs a reason, which the record keeps. */
function recorded({ kind, code, row, move: at }: Answer, read: Read, how: How): Body | null {
  if (kind !== "right" && kind !== "not_next") return null;
  // the row by name: a later revision may plan the case for another one, it stands in this
  if (isLoading(at)) return { kind: "on", code, read, row, ...how };
  return { kind: "off", code, read, ...how };
}
