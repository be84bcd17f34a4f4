/** A picture in, every code in it out: by the phone's own detector, else by ours in a worker. */
import type { Hit, Job, JobDone } from "./hits";

interface NativeHit {
  rawValue: string;
  cornerPoints: { x: number; y: number }[];
}

interface NativeDetector {
  detect(source: HTMLVideoElement | ImageBitmap): Promise<NativeHit[]>;
}

type NativeKind = {
  new (options: { formats: string[] }): NativeDetector;
  getSupportedFormats(): Promise<string[]>;
};

/** The detector that the phone brings, where it reads QR codes; not every one that is there does. */
export async function nativeDetector(): Promise<NativeDetector | null> {
  const kind = (globalThis as { BarcodeDetector?: NativeKind }).BarcodeDetector;
  if (!kind) return null;
  try {
    const formats = await kind.getSupportedFormats();
    const wanted = ["qr_code", "code_128"].filter((format) => formats.includes(format));
    return wanted.includes("qr_code") ? new kind({ formats: wanted }) : null;
  } catch {
    return null;
  }
}

export function fromNative(hits: NativeHit[], width: number, height: number): Hit[] {
  return hits.map(({ rawValue, cornerPoints }) => ({
    text: rawValue,
    box: cornerPoints.map(({ x, y }) => [x / width, y / height]),
  }));
}

let worker: Worker | null = null;
let number = 0;
const asked = new Map<number, { done: (hits: Hit[]) => void; failed: (error: Error) => void }>();

/** Decode by our own reader; the first call loads it. */
export function decode(picture: ImageData): Promise<Hit[]> {
  worker ??= start();
  const to = worker;
  number += 1;
  const job: Job = { id: number, picture };
  return new Promise<Hit[]>((done, failed) => {
    asked.set(job.id, { done, failed });
    to.postMessage(job, [picture.data.buffer]);
  });
}

function start(): Worker {
  const made = new Worker(new URL("./worker/reader.ts", import.meta.url), { type: "module" });
  made.addEventListener("message", (event: MessageEvent<JobDone>) => {
    const waiting = asked.get(event.data.id);
    asked.delete(event.data.id);
    if (event.data.failed === null) waiting?.done(event.data.hits);
    else waiting?.failed(new Error(event.data.failed));
  });
  made.addEventListener("error", (event) => {
    worker = null;
    for (const { failed } of asked.values()) failed(new Error(`reader: ${event.message}`));
    asked.clear();
  });
  return made;
}
