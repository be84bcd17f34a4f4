/** Takes pictures and decodes them beside the page, so that the page never stutters. */
import { widened } from "../aim";
import {
  WHOLE,
  type Hit,
  type Job,
  type JobDone,
  type Look,
  type Region,
  type Regions,
} from "../hits";
import { asPicture, drawn, fromFrame, qualityOf, shrunk, sizeOf, type Grey } from "./grey";
import { readAll, readKinds, readPart } from "./read";

/** Twelve pictures a second; on a slower phone as many as it can. */
const EVERY_MS = 80;
/** The frame at the camera's own sharpness, all that is shown more coarsely. */
const FINE = 1200;
const COARSE = 960;
/** Without a frame, as for the codes of a hand-over, the whole picture as sharp as it is. */
const WHOLE_PICTURE = 2000;
/** A label may reach over the frame's edge while its middle lies inside. */
const MARGIN = 0.15;

let regions: Regions = { aim: WHOLE, shown: WHOLE };
let running = 0;
/** Looks at the frame since one of them found something. */
let misses = 0;
let turn = 0;

addEventListener("message", (event: MessageEvent<Job>) => {
  const job = event.data;
  if (job.kind === "regions") regions = job.regions;
  else if (job.kind === "kinds") readKinds(job.every);
  else if (job.kind === "end") running += 1;
  else if (job.kind === "stream") void follow(job.readable, (running += 1));
  else if (job.kind === "photo") void answer(job.id, () => readAll(job.picture, WHOLE));
  else void answer(job.id, () => part(job));
});

/** What to look at next: mostly the frame; every fourth time all that the screen shows. */
function nextPart(): { part: Region; wide: boolean; most: number } {
  turn += 1;
  if (regions.aim.width === 1) return { part: WHOLE, wide: false, most: WHOLE_PICTURE };
  const wide = turn % 4 === 0;
  return wide
    ? { part: regions.shown, wide, most: COARSE }
    : { part: widened(regions.aim, MARGIN), wide, most: FINE };
}

async function follow(readable: ReadableStream<VideoFrame>, run: number): Promise<void> {
  const frames = readable.getReader();
  while (running === run) {
    const { value: frame, done } = await frames.read();
    if (done || !frame) break;
    const began = performance.now();
    try {
      await lookAt(frame);
    } catch (error) {
      tell({ id: null, hits: [], failed: String(error), look: nothing(frame) });
    } finally {
      frame.close();
    }
    const spare = EVERY_MS - (performance.now() - began);
    if (spare > 0) await new Promise((go) => setTimeout(go, spare));
  }
  await frames.cancel().catch(() => undefined);
}

async function lookAt(frame: VideoFrame): Promise<void> {
  const look = nothing(frame);
  const { part: region, wide, most } = nextPart();
  const grey = await fromFrame(frame, region, most);
  const { hits, quality } = await search(grey, region, wide);
  tell({ id: null, hits, failed: null, look: { ...look, hits, wide, quality } });
}

function nothing(frame: VideoFrame): Look {
  const taken = performance.timeOrigin + performance.now();
  return { hits: [], size: sizeOf(frame), taken, wide: false, quality: "good" };
}

/** After two looks in vain every other one is tried by other means: for the dark and the noise. */
async function search(grey: Grey, region: Region, wide: boolean) {
  const harder = !wide && misses >= 2 && turn % 2 === 1;
  const small = harder ? shrunk(grey.data, grey.width, grey, 2) : grey;
  const hits = await readPart(asPicture(small, harder), region, turn % 2 === 0 || harder);
  if (!wide) misses = hits.length > 0 ? 0 : misses + 1;
  return { hits, quality: hits.length > 0 ? ("good" as const) : qualityOf(grey) };
}

/** A part that the page has cut out, where it could not hand over the camera itself. */
async function part(job: Extract<Job, { kind: "part" }>): Promise<Hit[]> {
  const { bitmap, part: region, wide, size } = job;
  const taken = performance.timeOrigin + performance.now();
  turn += 1;
  const grey = drawn(bitmap, bitmap, WHOLE, wide ? COARSE : FINE);
  bitmap.close();
  const { hits, quality } = await search(grey, region, wide);
  tell({ id: null, hits, failed: null, look: { hits, size, taken, wide, quality } });
  return hits;
}

async function answer(id: number, read: () => Promise<Hit[]>): Promise<void> {
  try {
    tell({ id, hits: await read(), failed: null });
  } catch (error) {
    tell({ id, hits: [], failed: String(error) });
  }
}

function tell(done: JobDone): void {
  postMessage(done);
}
