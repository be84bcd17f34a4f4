/** From a text that was read to the answer on the screen: one after the other, safe before shown. */
import { batch } from "@preact/signals";
import { isLoading } from "../core/facts";
import { accept, acceptTyped } from "../core/case-code";
import type { Body, Read } from "../core/events";
import { feel } from "./feedback";
import { collectFrame, isFrame } from "./collect";
import { InView } from "../scan/in-view";
import { listenForWedge } from "../scan/wedge";
import { answerTo, type Answer } from "./answering";
import { painted } from "./painted";
import { report } from "./report";
import {
  answers,
  bundle,
  lastAnswer,
  move,
  session,
  state,
  vehicleId,
  type Shown,
} from "./signals";

const UNDO_MS = 10_000;
const REMEMBERED = 20;

const inView = new InView();
let line: Promise<unknown> = Promise.resolve();

/** Answer a text; a right case is recorded at once, anything else is only answered. */
export function scan(text: string, read: Read, why?: string): Promise<Shown | null> {
  const done = line.then(() => take(text, read, why));
  line = done.catch(() => undefined);
  return done;
}

/** What the camera saw; a label held in view counts once, a frame of a hand-over goes there. */
export async function sighted(text: string): Promise<void> {
  if (isFrame(text)) await collectFrame(text);
  else if (inView.see(text, performance.now())) await scanSeen(text);
}

async function scanSeen(text: string): Promise<void> {
  if (!(await scan(text, "camera"))) inView.forget(text);
}

/** Whether a text is exactly a code of this show or one that was added to it tonight. */
function isOfTheShow(text: string): boolean {
  return text in (bundle.value?.cases ?? {}) || text in (state.value?.added ?? {});
}

/** Take the bursts of a scanner that types, on every screen. */
export function listenForScanner(): void {
  listenForWedge((text) => void scan(text, "wedge"), isOfTheShow);
}

async function take(text: string, read: Read, why?: string): Promise<Shown | null> {
  const [sheet, now, at, vehicle] = [bundle.value, state.value, move.value, vehicleId.value];
  if (!sheet || !now || !at || !vehicle) return null;
  const known = { has: (code: string) => code in sheet.cases || code in now.added };
  const exact = read === "typed" || read === "wedge" ? acceptTyped : accept;
  const code = exact(text, known);
  const device = session.value?.device ?? "";
  const answer = answerTo(sheet, now, { move: at, vehicle, device }, code);
  const body = recorded(answer, read, why);
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
    answers.value = [shown, ...answers.value].slice(0, REMEMBERED);
  });
  void painted().then(() => feel(answer.kind));
  return shown;
}

/** The event that a scan makes by itself; by tap it needs a reason, which the record keeps. */
function recorded({ kind, code, row, move: at }: Answer, read: Read, why?: string): Body | null {
  if (kind !== "right" && kind !== "not_next") return null;
  const said = why ? { why } : {};
  // the row by name: a later revision may plan the case for another one, it stands in this
  if (isLoading(at)) return { kind: "on", code, read, row, ...said };
  return { kind: "off", code, read, ...said };
}
