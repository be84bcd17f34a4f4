/** The reader beside the page: photos in and codes out, and the camera's own stream followed. */
import type { Hit, Job, JobDone, Look } from "./hits";

let worker: Worker | null = null;
let number = 0;
const asked = new Map<number, { done: (hits: Hit[]) => void; failed: (error: Error) => void }>();
let looked: (look: Look) => void = () => undefined;
let broken: () => void = () => undefined;

/** Every code in a photo. */
export function decode(picture: ImageData): Promise<Hit[]> {
  return ask((id) => ({ kind: "photo", id, picture }), [picture.data.buffer]);
}

/** Give the reader something to do and wait for its answer; the first call loads it. */
export function ask(job: (id: number) => Job, given: Transferable[]): Promise<Hit[]> {
  number += 1;
  const id = number;
  return new Promise<Hit[]>((done, failed) => {
    asked.set(id, { done, failed });
    tellReader(job(id), given);
  });
}

let every = false;

/** Whether bar codes of every kind are looked for, or only the two that our labels have. */
export function seeEveryKind(wanted: boolean): void {
  every = wanted;
  worker?.postMessage({ kind: "kinds", every } satisfies Job);
}

export function tellReader(job: Job, given: Transferable[] = []): void {
  worker ??= start();
  worker.postMessage(job, given);
}

/** `look` hears of every picture of the camera; `fail` when the reader ended. */
export function hearLooks(look: (look: Look) => void, fail: () => void): void {
  looked = look;
  broken = fail;
}

function start(): Worker {
  const made = new Worker(new URL("./worker/reader.ts", import.meta.url), { type: "module" });
  made.addEventListener("message", ({ data }: MessageEvent<JobDone>) => {
    if (data.id === null) return looked(data.look);
    const waiting = asked.get(data.id);
    asked.delete(data.id);
    if (data.failed === null) waiting?.done(data.hits);
    else waiting?.failed(new Error(data.failed));
  });
  made.addEventListener("error", (event) => {
    worker = null;
    for (const { failed } of asked.values()) failed(new Error(`reader: ${event.message}`));
    asked.clear();
    broken();
  });
  made.postMessage({ kind: "kinds", every } satisfies Job);
  return made;
}
