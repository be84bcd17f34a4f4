/** The live camera: asked for once, kept open, every label in view read. */
import { signal, type ReadonlySignal } from "@preact/signals";
import { keepAwake } from "./awake";
import { decode, fromNative, nativeDetector } from "./decoder";
import type { Hit } from "./hits";

/** Why there is no live camera; each leads to the photo, and the photo to typing. */
export type CameraTrouble = "not_here" | "refused" | "none_found" | "busy" | "failed";

export interface Camera {
  /** Labels in the last picture, to be drawn over the live picture. */
  inView: ReadonlySignal<Hit[]>;
  /** Of the lens in use. */
  readonly hasTorch: boolean;
  torch(on: boolean): Promise<void>;
  /** Back cameras to choose from; the choice is remembered. */
  lenses(): Promise<{ id: string; label: string }[]>;
  useLens(id: string): Promise<CameraTrouble | null>;
  /** Id of the lens in use. */
  readonly lens: string | undefined;
  stop(): void;
}

const LENS = "rowcall-lens";
const EVERY_MS = 90;
/** The next picture waits for the answer to this one, but never longer. */
const LONGEST_MS = 400;
/** Between an answer and the next picture, so that the answer is drawn first. */
const BREATH_MS = 30;

/** Neither is in the compiler's library. */
interface MoreCapabilities extends MediaTrackCapabilities {
  torch?: boolean;
  focusMode?: string[];
}
type MoreConstraint = MediaTrackConstraintSet & { torch?: boolean; focusMode?: string };

/** Open the camera on a video element; `read` gets every text of every picture and answers it. */
export async function startCamera(
  video: HTMLVideoElement,
  read: (text: string) => Promise<unknown>,
): Promise<Camera | CameraTrouble> {
  const first = await open(video, localStorage.getItem(LENS));
  if (typeof first === "string") return first;
  let stream = first;
  const inView = signal<Hit[]>([]);
  const stopReading = await readFrames(video, (hits) => {
    inView.value = hits;
    return Promise.all(hits.map((hit) => read(hit.text)));
  });
  keepAwake(true);
  const reopen = async () => {
    // a phone ends the stream of an app that it has put aside
    if (document.visibilityState !== "visible" || track(stream)?.readyState !== "ended") return;
    const next = await open(video, localStorage.getItem(LENS));
    if (typeof next !== "string") stream = next;
  };
  document.addEventListener("visibilitychange", reopen);
  return {
    inView,
    get hasTorch() {
      return capabilities(stream).torch === true;
    },
    get lens() {
      return track(stream)?.getSettings().deviceId;
    },
    torch: (on) => constrain(stream, { torch: on }),
    lenses,
    useLens: async (id) => {
      close(stream);
      const next = await open(video, id);
      if (typeof next === "string") return next;
      stream = next;
      localStorage.setItem(LENS, id);
      return null;
    },
    stop: () => {
      stopReading();
      document.removeEventListener("visibilitychange", reopen);
      keepAwake(false);
      close(stream);
      video.srcObject = null;
    },
  };
}

async function open(
  video: HTMLVideoElement,
  lens: string | null,
): Promise<MediaStream | CameraTrouble> {
  // absent outside a secure context, whatever the type says
  const media = (navigator as { mediaDevices?: MediaDevices }).mediaDevices;
  if (!media) return "not_here";
  const size = { width: { ideal: 1920 }, height: { ideal: 1080 } };
  // a wish would lose against the picture size: browsers then take the sharper lens all the same
  const which = lens ? { deviceId: { exact: lens } } : { facingMode: { ideal: "environment" } };
  try {
    const stream = await media.getUserMedia({ video: { ...size, ...which }, audio: false });
    // without these two an iPhone shows a black picture, or a full-screen player
    video.playsInline = true;
    video.muted = true;
    video.srcObject = stream;
    await video.play();
    if (capabilities(stream).focusMode?.includes("continuous"))
      await constrain(stream, { focusMode: "continuous" });
    return stream;
  } catch (error) {
    const found = trouble(error);
    // ids change when the browser forgets this site: then any back camera
    return lens && found === "none_found" ? open(video, null) : found;
  }
}

function trouble(error: unknown): CameraTrouble {
  const name = error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError" || name === "SecurityError") return "refused";
  if (name === "NotFoundError" || name === "OverconstrainedError") return "none_found";
  if (name === "NotReadableError" || name === "AbortError") return "busy";
  return "failed";
}

function track(stream: MediaStream): MediaStreamTrack | undefined {
  return stream.getVideoTracks()[0];
}

function capabilities(stream: MediaStream): MoreCapabilities {
  // older engines have no getCapabilities
  return track(stream)?.getCapabilities?.() ?? {};
}

async function constrain(stream: MediaStream, wish: MoreConstraint): Promise<void> {
  // a phone that cannot do it says so by an error: a wish, not a need
  await track(stream)
    ?.applyConstraints({ advanced: [wish] })
    .catch(() => undefined);
}

function close(stream: MediaStream): void {
  for (const each of stream.getTracks()) each.stop();
}

async function lenses(): Promise<{ id: string; label: string }[]> {
  const all = await navigator.mediaDevices.enumerateDevices();
  const cameras = all.filter((device) => device.kind === "videoinput");
  const back = cameras.filter((device) => !/front|user/i.test(device.label));
  return (back.length > 0 ? back : cameras).map(({ deviceId, label }) => ({ id: deviceId, label }));
}

const pause = (ms: number): Promise<null> =>
  new Promise((done) => setTimeout(() => done(null), ms));

/** Read picture after picture, never two at once; returns what stops it. */
async function readFrames(video: HTMLVideoElement, found: (hits: Hit[]) => Promise<unknown>) {
  const detector = await nativeDetector();
  const canvas = document.createElement("canvas");
  const paper = canvas.getContext("2d", { willReadFrequently: true });
  let stopped = false;
  const look = async (): Promise<Hit[]> => {
    const { videoWidth: width, videoHeight: height } = video;
    if (width === 0 || !paper || document.visibilityState !== "visible") return [];
    if (detector) return fromNative(await detector.detect(video), width, height);
    if (canvas.width !== width) [canvas.width, canvas.height] = [width, height];
    paper.drawImage(video, 0, 0);
    return decode(paper.getImageData(0, 0, width, height));
  };
  const next = async () => {
    if (stopped) return;
    const began = performance.now();
    const hits = await look().catch(() => []);
    if (stopped) return;
    // taking pictures apart meanwhile would hold up the answer on a slow phone
    if (hits.length > 0) await Promise.race([found(hits).catch(() => null), pause(LONGEST_MS)]);
    else void found(hits);
    const spent = performance.now() - began;
    setTimeout(() => void next(), Math.max(hits.length > 0 ? BREATH_MS : 0, EVERY_MS - spent));
  };
  void next();
  return () => {
    stopped = true;
  };
}
