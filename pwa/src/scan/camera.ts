/** The live camera: asked for once, kept open, its pictures looked through beside the page. */
import { follow, type Feed } from "./feed";
import type { Look, Regions } from "./hits";

/** Why there is no live camera; each leads to the photo, and the photo to typing. */
export type CameraTrouble = "not_here" | "refused" | "none_found" | "busy" | "failed";

export interface Camera {
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

/** Neither is in the compiler's library. */
interface MoreCapabilities extends MediaTrackCapabilities {
  torch?: boolean;
  focusMode?: string[];
  exposureMode?: string[];
}
type MoreConstraint = MediaTrackConstraintSet & {
  torch?: boolean;
  focusMode?: string;
  exposureMode?: string;
};

/** Open the camera on a video element; `look` gets every picture, and where the frame lies in it. */
export async function startCamera(
  video: HTMLVideoElement,
  aim: Element | null,
  look: (look: Look, regions: Regions) => void,
): Promise<Camera | CameraTrouble> {
  const first = await open(video, localStorage.getItem(LENS));
  if (typeof first === "string") return first;
  let stream = first;
  let feed: Feed = follow(video, aim, look);
  const take = (next: MediaStream) => {
    stream = next;
    feed.stop();
    feed = follow(video, aim, look);
  };
  const reopen = async () => {
    // a phone ends the stream of an app that is in the background
    if (document.visibilityState !== "visible" || track(stream)?.readyState !== "ended") return;
    const next = await open(video, localStorage.getItem(LENS));
    if (typeof next !== "string") take(next);
  };
  document.addEventListener("visibilitychange", reopen);
  return {
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
      take(next);
      localStorage.setItem(LENS, id);
      return null;
    },
    stop: () => {
      feed.stop();
      document.removeEventListener("visibilitychange", reopen);
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
    await settle(stream);
    return stream;
  } catch (error) {
    const found = trouble(error);
    // ids change when the browser forgets this site: then any back camera
    return lens && found === "none_found" ? open(video, null) : found;
  }
}

/** Focus and light kept up by the phone itself, as far as it can. */
async function settle(stream: MediaStream): Promise<void> {
  const { focusMode, exposureMode } = capabilities(stream);
  if (focusMode?.includes("continuous")) await constrain(stream, { focusMode: "continuous" });
  if (exposureMode?.includes("continuous")) await constrain(stream, { exposureMode: "continuous" });
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
