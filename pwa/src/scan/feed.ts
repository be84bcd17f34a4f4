/** Pictures from the camera to the reader: the stream itself where that can be, else part by part. */
import { inPicture, shownPart, widened } from "./aim";
import { ask, decode, hearLooks, tellReader } from "./decoder";
import { WHOLE, type Look, type Region, type Regions, type Size } from "./hits";

const EVERY_MS = 90;
const MARGIN = 0.15;
const COARSE = 960;

type Processor = new (from: { track: MediaStreamTrack }) => {
  readable: ReadableStream<VideoFrame>;
};

/** The frame as drawn, in shares of the camera's picture; without one the whole picture. */
function regionsOf(video: HTMLVideoElement, aim: Element | null): Regions {
  const picture = { width: video.videoWidth, height: video.videoHeight };
  const view = video.getBoundingClientRect();
  const shown = shownPart(picture, view);
  if (!aim || view.width === 0 || view.height === 0) return { aim: WHOLE, shown: WHOLE };
  const frame = aim.getBoundingClientRect();
  const drawn: Region = {
    x: (frame.left - view.left) / view.width,
    y: (frame.top - view.top) / view.height,
    width: frame.width / view.width,
    height: frame.height / view.height,
  };
  return { aim: inPicture(shown, drawn), shown };
}

export interface Feed {
  regions: Regions;
  stop(): void;
}

/** Follow a camera: `look` is called for every picture that was looked through. */
export function follow(
  video: HTMLVideoElement,
  aim: Element | null,
  look: (look: Look, regions: Regions) => void,
): Feed {
  let stopParts: (() => void) | null = null;
  const measure = () => {
    feed.regions = regionsOf(video, aim);
    tellReader({ kind: "regions", regions: feed.regions });
  };
  const byParts = () => {
    tellReader({ kind: "end" });
    stopParts ??= cutParts(
      video,
      () => feed.regions,
      (seen) => look(seen, feed.regions),
    );
  };
  const resized = new ResizeObserver(measure);
  const feed: Feed = {
    regions: { aim: WHOLE, shown: WHOLE },
    stop: () => {
      resized.disconnect();
      video.removeEventListener("resize", measure);
      stopParts?.();
      tellReader({ kind: "end" });
      hearLooks(
        () => undefined,
        () => undefined,
      );
    },
  };
  hearLooks((seen) => {
    // a stream may come lying on its side where the picture on the screen stands upright
    if (!stopParts && !sameShape(seen.size, video)) return byParts();
    if (document.visibilityState === "visible") look(seen, feed.regions);
  }, byParts);
  video.addEventListener("resize", measure);
  resized.observe(video);
  if (aim) resized.observe(aim);
  measure();
  if (!handOver(video.srcObject as MediaStream)) byParts();
  return feed;
}

/** True when the reader follows the camera by itself: then the page never touches a pixel. */
function handOver(stream: MediaStream): boolean {
  const kind = (globalThis as { MediaStreamTrackProcessor?: Processor }).MediaStreamTrackProcessor;
  const track = stream.getVideoTracks()[0];
  if (!kind || !track) return false;
  try {
    const { readable } = new kind({ track });
    tellReader({ kind: "stream", readable }, [readable as unknown as Transferable]);
    return true;
  } catch {
    return false;
  }
}

const sameShape = ({ width, height }: Size, video: HTMLVideoElement): boolean =>
  video.videoWidth === 0 || width > height === video.videoWidth > video.videoHeight;

/** Cut the part that is wanted out of the picture and send only that; returns what stops it. */
function cutParts(
  video: HTMLVideoElement,
  regions: () => Regions,
  look: (look: Look) => void,
): () => void {
  let stopped = false;
  let turn = 0;
  let how: typeof asBitmap | typeof asPixels = asBitmap;
  const next = async () => {
    if (stopped) return;
    const began = performance.now();
    turn += 1;
    const wide = turn % 4 === 0;
    const part = wide ? regions().shown : widened(regions().aim, MARGIN);
    if (video.videoWidth > 0 && document.visibilityState === "visible")
      try {
        const seen = await how(video, part, wide);
        if (seen && !stopped) look(seen);
      } catch {
        // an older engine has no canvas beside the page: then the page itself cuts
        how = how === asBitmap ? asPixels : asBitmap;
      }
    setTimeout(() => void next(), Math.max(30, EVERY_MS - (performance.now() - began)));
  };
  void next();
  return () => {
    stopped = true;
  };
}

const sizeOf = (video: HTMLVideoElement): Size => ({
  width: video.videoWidth,
  height: video.videoHeight,
});

/** Pixels of a part in whole numbers, and how much smaller it may be. */
function cutOf(video: HTMLVideoElement, part: Region, wide: boolean) {
  const size = sizeOf(video);
  const width = Math.max(1, Math.round(part.width * size.width));
  const height = Math.max(1, Math.round(part.height * size.height));
  const scale = wide ? Math.min(1, COARSE / Math.max(width, height)) : 1;
  const [x, y] = [Math.round(part.x * size.width), Math.round(part.y * size.height)];
  return { size, x, y, width, height, scale };
}

async function asBitmap(video: HTMLVideoElement, part: Region, wide: boolean): Promise<null> {
  const { size, x, y, width, height, scale } = cutOf(video, part, wide);
  const smaller = scale < 1 ? { resizeWidth: Math.round(width * scale) } : {};
  const bitmap = await createImageBitmap(video, x, y, width, height, smaller);
  await ask((id) => ({ kind: "part", id, bitmap, part, size, wide }), [bitmap]);
  return null;
}

async function asPixels(video: HTMLVideoElement, part: Region, wide: boolean): Promise<Look> {
  const { size, x, y, width, height, scale } = cutOf(video, part, wide);
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(width * scale);
  canvas.height = Math.round(height * scale);
  const paper = canvas.getContext("2d", { willReadFrequently: true });
  if (!paper) throw new Error("camera: expected a canvas to draw on, got none");
  paper.drawImage(video, x, y, width, height, 0, 0, canvas.width, canvas.height);
  const taken = Date.now();
  const found = await decode(paper.getImageData(0, 0, canvas.width, canvas.height));
  const hits = found.map(({ box, ...hit }) => ({
    ...hit,
    box: box.map(([u = 0, v = 0]) => [part.x + u * part.width, part.y + v * part.height]),
  }));
  return { hits, size, taken, wide, quality: "good" };
}
